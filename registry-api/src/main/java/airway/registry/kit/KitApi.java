package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import airway.registry.web.IfMatch;
import airway.registry.web.JsonBody;
import jakarta.servlet.http.HttpServletRequest;
import java.net.URI;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpHeaders;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.PutMapping;
import org.springframework.web.bind.annotation.RequestHeader;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The kit over HTTP. Who may make which move is decided with the move. */
@Needs(Right.USE_KIT)
@RestController
@RequestMapping(path = "/api/v1/kit", produces = MediaType.APPLICATION_JSON_VALUE)
class KitApi {
    private final Kit kit;
    private final Sites sites;

    KitApi(Kit kit, Sites sites) {
        this.kit = kit;
        this.sites = sites;
    }

    @GetMapping("/kinds")
    ArrayNode kinds(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return KitJson.kinds(kit.kinds(sites.named(siteId)));
    }

    @Needs(Right.KEEP_KIT)
    @PostMapping(path = "/kinds", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> addKind(HttpServletRequest request) {
        Kind kind = kit.addKind(JsonBody.read(request));
        return ResponseEntity.created(URI.create("/api/v1/kit/kinds/" + kind.id()))
                .eTag(IfMatch.tag(kind.version()))
                .body(KitJson.of(kind));
    }

    @Needs(Right.KEEP_KIT)
    @PutMapping(path = "/kinds/{id}", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> amendKind(
            @PathVariable String id,
            HttpServletRequest request,
            @RequestHeader(name = HttpHeaders.IF_MATCH, required = false) @Nullable String ifMatch) {
        int seen = IfMatch.version(ifMatch);
        Kind kind = kit.amendKind(Key.of(id, "kind"), seen, JsonBody.read(request));
        return ResponseEntity.ok().eTag(IfMatch.tag(kind.version())).body(KitJson.of(kind));
    }

    @GetMapping("/items")
    ArrayNode items(
            @RequestParam(name = "site_id", required = false) @Nullable String siteId,
            @RequestParam(name = "state", required = false) @Nullable String state) {
        List<Traced> items = kit.items(sites.named(siteId));
        if (state == null) {
            return KitJson.items(items);
        }
        State wanted = State.of(state)
                .orElseThrow(() -> new Problem.Malformed(
                        Fault.parameter("state", "code", "Send the code of a state, or leave it out.")));
        return KitJson.items(
                items.stream().filter(item -> item.life().state() == wanted).toList());
    }

    @Needs(Right.KEEP_KIT)
    @PostMapping(path = "/items", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> addItem(HttpServletRequest request) {
        Traced item = kit.addItem(JsonBody.read(request));
        return ResponseEntity.created(
                        URI.create("/api/v1/kit/items/" + item.item().id()))
                .body(KitJson.whole(item));
    }

    @GetMapping("/items/{id}")
    ObjectNode item(@PathVariable String id) {
        return KitJson.whole(kit.item(Key.of(id, "item")));
    }

    @PostMapping(path = "/items/{id}/moves", consumes = MediaType.APPLICATION_JSON_VALUE)
    ObjectNode move(@PathVariable String id, HttpServletRequest request) {
        return KitJson.whole(kit.move(Key.of(id, "item"), JsonBody.read(request)));
    }

    @Needs(Right.KEEP_KIT)
    @PostMapping(path = "/labels", consumes = MediaType.APPLICATION_JSON_VALUE)
    ArrayNode send(HttpServletRequest request) {
        return KitJson.items(kit.send(JsonBody.read(request)));
    }

    @Needs(Right.KEEP_KIT)
    @PostMapping(path = "/returns", consumes = MediaType.APPLICATION_JSON_VALUE)
    ArrayNode takeBack(HttpServletRequest request) {
        return KitJson.items(kit.takeBack(JsonBody.read(request)));
    }
}
