package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Sites;
import airway.registry.problem.Key;
import airway.registry.web.JsonBody;
import jakarta.servlet.http.HttpServletRequest;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** What the kit keeper has to look into, over HTTP. */
@Needs(Right.KEEP_KIT)
@RestController
@RequestMapping(path = "/api/v1/kit/discrepancies", produces = MediaType.APPLICATION_JSON_VALUE)
class DiscrepancyApi {
    private final Discrepancies discrepancies;
    private final Sites sites;

    DiscrepancyApi(Discrepancies discrepancies, Sites sites) {
        this.discrepancies = discrepancies;
        this.sites = sites;
    }

    @GetMapping
    ArrayNode open(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return KitJson.discrepancies(discrepancies.open(sites.named(siteId)));
    }

    @GetMapping("/{id}")
    ObjectNode read(@PathVariable String id) {
        return KitJson.of(discrepancies.read(Key.of(id, "discrepancy")));
    }

    @PostMapping(path = "/{id}/closing", consumes = MediaType.APPLICATION_JSON_VALUE)
    ObjectNode close(@PathVariable String id, HttpServletRequest request) {
        return KitJson.of(discrepancies.close(Key.of(id, "discrepancy"), JsonBody.read(request)));
    }
}
