package airway.registry.aims;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Problem;
import airway.registry.web.IfMatch;
import airway.registry.web.JsonBody;
import jakarta.servlet.http.HttpServletRequest;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PutMapping;
import org.springframework.web.bind.annotation.RequestHeader;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The aim of a unit over HTTP: there is one, so it has no key. */
@Needs(Right.IMPROVE)
@RestController
@RequestMapping(path = "/api/v1/aim", produces = MediaType.APPLICATION_JSON_VALUE)
class AimApi {
    private final Aims aims;
    private final Sites sites;

    AimApi(Aims aims, Sites sites) {
        this.aims = aims;
        this.sites = sites;
    }

    @GetMapping
    ResponseEntity<ObjectNode> read(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        Site site = sites.named(siteId);
        List<Aim> versions = aims.of(site);
        if (versions.isEmpty()) {
            throw new Problem.Missing("aim");
        }
        return answer(HttpStatus.OK, site, versions.get(0));
    }

    @PutMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> write(
            HttpServletRequest request,
            @RequestHeader(name = HttpHeaders.IF_MATCH, required = false) @Nullable String ifMatch,
            @RequestHeader(name = HttpHeaders.IF_NONE_MATCH, required = false) @Nullable String ifNoneMatch) {
        int seen = IfMatch.orFirst(ifMatch, ifNoneMatch);
        JsonNode body = JsonBody.read(request);
        Aims.Typed typed = AimJson.read(body);
        Site site = sites.inBody(body);
        Aim written = aims.write(site, seen, typed);
        return answer(seen == 0 ? HttpStatus.CREATED : HttpStatus.OK, site, written);
    }

    @GetMapping("/versions")
    ArrayNode versions(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        Site site = sites.named(siteId);
        return AimJson.of(site, aims.of(site));
    }

    private static ResponseEntity<ObjectNode> answer(HttpStatus status, Site site, Aim aim) {
        return ResponseEntity.status(status).eTag(IfMatch.tag(aim.version())).body(AimJson.of(site, aim));
    }
}
