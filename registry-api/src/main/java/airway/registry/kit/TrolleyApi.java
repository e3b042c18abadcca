package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Sites;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import airway.registry.web.IfMatch;
import airway.registry.web.JsonBody;
import jakarta.servlet.http.HttpServletRequest;
import java.net.URI;
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

/** Trolleys and their checks over HTTP. */
@Needs(Right.USE_KIT)
@RestController
@RequestMapping(path = "/api/v1/kit/trolleys", produces = MediaType.APPLICATION_JSON_VALUE)
class TrolleyApi {
    private final Trolleys trolleys;
    private final Sites sites;

    TrolleyApi(Trolleys trolleys, Sites sites) {
        this.trolleys = trolleys;
        this.sites = sites;
    }

    @GetMapping
    ArrayNode all(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return TrolleyJson.standings(trolleys.standings(sites.named(siteId)));
    }

    @Needs(Right.KEEP_KIT)
    @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> add(HttpServletRequest request) {
        Standing added = trolleys.add(JsonBody.read(request));
        return ResponseEntity.created(
                        URI.create("/api/v1/kit/trolleys/" + added.trolley().id()))
                .eTag(IfMatch.tag(added.trolley().version()))
                .body(TrolleyJson.of(added));
    }

    @GetMapping("/{id}")
    ResponseEntity<ObjectNode> one(@PathVariable String id) {
        return answer(trolleys.trolley(Key.of(id, "trolley")));
    }

    @Needs(Right.KEEP_KIT)
    @PutMapping(path = "/{id}", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> amend(
            @PathVariable String id,
            HttpServletRequest request,
            @RequestHeader(name = HttpHeaders.IF_MATCH, required = false) @Nullable String ifMatch) {
        int seen = IfMatch.version(ifMatch);
        Standing amended = trolleys.amend(Key.of(id, "trolley"), seen, JsonBody.read(request));
        return ResponseEntity.ok()
                .eTag(IfMatch.tag(amended.trolley().version()))
                .body(TrolleyJson.of(amended));
    }

    @PostMapping(path = "/{id}/checks", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> check(@PathVariable String id, HttpServletRequest request) {
        return answer(trolleys.check(Key.of(id, "trolley"), JsonBody.read(request)));
    }

    @Needs(Right.KEEP_KIT)
    @PostMapping(path = "/{id}/checks/{version}/withdrawal", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> takeBack(
            @PathVariable String id, @PathVariable String version, HttpServletRequest request) {
        return answer(trolleys.takeBack(Key.of(id, "trolley"), line(version), JsonBody.read(request)));
    }

    /** A line of a log by its number in a path. */
    static int line(String version) {
        if (!version.matches("[1-9]\\d{0,8}")) {
            throw new Problem.Missing("check");
        }
        return Integer.parseInt(version);
    }

    private static ResponseEntity<ObjectNode> answer(Trolleys.Whole whole) {
        Trolley trolley = whole.standing().trolley();
        ObjectNode out = TrolleyJson.of(whole.standing());
        out.set("log", TrolleyJson.log(whole.log(), trolley.site().zone()));
        return ResponseEntity.ok().eTag(IfMatch.tag(trolley.version())).body(out);
    }
}
