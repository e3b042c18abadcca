package airway.registry.research;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import org.springframework.http.MediaType;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.node.ObjectNode;

/** What research data would be like, over HTTP. */
@Needs(Right.ASK_RESEARCH)
@RestController
@RequestMapping("/api/v1/research")
class OutlookApi {
    private final Outlooks outlooks;

    OutlookApi(Outlooks outlooks) {
        this.outlooks = outlooks;
    }

    @GetMapping(path = "/outlook", produces = MediaType.APPLICATION_JSON_VALUE)
    ObjectNode outlook(@RequestParam MultiValueMap<String, String> asked) {
        return OutlookJson.of(outlooks.of(asked));
    }
}
