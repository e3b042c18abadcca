package airway.registry.charts;

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

/** Kept averages over HTTP. */
@Needs(Right.IMPROVE)
@RestController
@RequestMapping(path = "/api/v1/kept-averages", produces = MediaType.APPLICATION_JSON_VALUE)
class KeptAverageApi {
    private final KeptAverages averages;
    private final Sites sites;

    KeptAverageApi(KeptAverages averages, Sites sites) {
        this.averages = averages;
        this.sites = sites;
    }

    @GetMapping
    ArrayNode list(
            @RequestParam(name = "site_id", required = false) @Nullable String siteId,
            @RequestParam(name = "withdrawn", required = false) @Nullable String withdrawn) {
        if (withdrawn != null && !withdrawn.equals("yes")) {
            throw new Problem.Malformed(
                    Fault.parameter("withdrawn", "code", "Send yes for the withdrawn ones, or leave it out."));
        }
        return KeptAverageJson.of(averages.all(sites.named(siteId), withdrawn != null));
    }

    @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> keep(HttpServletRequest request) {
        KeptAverage kept = averages.keep(JsonBody.read(request));
        return ResponseEntity.created(URI.create("/api/v1/kept-averages/" + kept.id()))
                .eTag(IfMatch.tag(kept.version()))
                .body(KeptAverageJson.of(kept));
    }

    @GetMapping("/{id}")
    ResponseEntity<ObjectNode> read(@PathVariable String id) {
        return answer(averages.read(Key.of(id, "kept average")));
    }

    @PutMapping(path = "/{id}", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> anew(
            @PathVariable String id,
            HttpServletRequest request,
            @RequestHeader(name = HttpHeaders.IF_MATCH, required = false) @Nullable String ifMatch) {
        int seen = IfMatch.version(ifMatch);
        return answer(averages.anew(Key.of(id, "kept average"), seen, JsonBody.read(request)));
    }

    @PostMapping(path = "/{id}/withdrawal", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> withdraw(@PathVariable String id, HttpServletRequest request) {
        return answer(averages.withdraw(Key.of(id, "kept average"), JsonBody.read(request)));
    }

    @GetMapping("/{id}/versions")
    ArrayNode versions(@PathVariable String id) {
        return KeptAverageJson.of(averages.versions(Key.of(id, "kept average")));
    }

    private static ResponseEntity<ObjectNode> answer(KeptAverage kept) {
        return ResponseEntity.ok().eTag(IfMatch.tag(kept.version())).body(KeptAverageJson.of(kept));
    }
}
