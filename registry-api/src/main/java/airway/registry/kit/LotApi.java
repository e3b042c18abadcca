package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Key;
import airway.registry.web.JsonBody;
import jakarta.servlet.http.HttpServletRequest;
import java.net.URI;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Single-use stock over HTTP. */
@Needs(Right.KEEP_KIT)
@RestController
@RequestMapping(path = "/api/v1/kit/lots", produces = MediaType.APPLICATION_JSON_VALUE)
class LotApi {
    private final Lots lots;
    private final Sites sites;

    LotApi(Lots lots, Sites sites) {
        this.lots = lots;
        this.sites = sites;
    }

    @Needs(Right.USE_KIT)
    @GetMapping
    ArrayNode lots(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        Site site = sites.named(siteId);
        return KitJson.lots(lots.stock(site));
    }

    @Needs(Right.USE_KIT)
    @GetMapping("/{id}")
    ObjectNode lot(@PathVariable String id) {
        return KitJson.of(lots.lot(Key.of(id, "lot")));
    }

    @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> receive(HttpServletRequest request) {
        Lots.Whole kept = lots.receive(JsonBody.read(request));
        return ResponseEntity.created(
                        URI.create("/api/v1/kit/lots/" + kept.lot().id()))
                .body(KitJson.of(kept));
    }

    @PostMapping(path = "/{id}/moves", consumes = MediaType.APPLICATION_JSON_VALUE)
    ObjectNode move(@PathVariable String id, HttpServletRequest request) {
        return KitJson.of(lots.move(Key.of(id, "lot"), JsonBody.read(request)));
    }
}
