package airway.registry.charts;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import org.springframework.http.MediaType;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;

/** One's own first attempts, and the unit's in bands. Another person's have no address. */
@Needs(Right.READ_CHARTS)
@RestController
@RequestMapping(path = "/api/v1/learning", produces = MediaType.APPLICATION_JSON_VALUE)
class LearningApi {
    private final Learning learning;

    LearningApi(Learning learning) {
        this.learning = learning;
    }

    @GetMapping
    String bands(@RequestParam MultiValueMap<String, String> parameters) {
        return LearningJson.of(learning.bands(parameters)).toString();
    }

    @GetMapping("/me")
    String own(@RequestParam MultiValueMap<String, String> parameters) {
        return LearningJson.of(learning.own(parameters)).toString();
    }
}
