package airway.registry.encounter;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import airway.registry.web.IfMatch;
import airway.registry.web.JsonBody;
import jakarta.servlet.http.HttpServletRequest;
import java.net.URI;
import java.util.UUID;
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
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Records and set-ups over HTTP. */
@Needs(Right.READ_RECORDS)
@RestController
@RequestMapping(path = "/api/v1", produces = MediaType.APPLICATION_JSON_VALUE)
class EncounterApi {
    private static final JsonMapper JSON = new JsonMapper();

    private final Encounters encounters;
    private final DeviceSetups setups;
    private final Sites sites;

    EncounterApi(Encounters encounters, DeviceSetups setups, Sites sites) {
        this.encounters = encounters;
        this.setups = setups;
        this.sites = sites;
    }

    @Needs(Right.RECORD)
    @PostMapping(path = "/encounters", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> record(
            HttpServletRequest request,
            @RequestHeader(name = IdempotencyKey.HEADER, required = false) @Nullable String key) {
        IdempotencyKey idempotencyKey = IdempotencyKey.read(key);
        Recorded recorded = encounters.record(JsonBody.read(request), idempotencyKey);
        return ResponseEntity.created(URI.create("/api/v1/encounters/" + recorded.id()))
                .eTag(tag(recorded))
                .body(EncounterJson.of(recorded));
    }

    @GetMapping("/encounters/{id}")
    ResponseEntity<ObjectNode> read(@PathVariable String id) {
        Recorded recorded = encounters.read(Key.of(id, "record"));
        return ResponseEntity.ok().eTag(tag(recorded)).body(EncounterJson.of(recorded));
    }

    @Needs({Right.AMEND_OWN, Right.AMEND_ANY})
    @PutMapping(path = "/encounters/{id}", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> amend(
            @PathVariable String id,
            HttpServletRequest request,
            @RequestHeader(name = HttpHeaders.IF_MATCH, required = false) @Nullable String ifMatch) {
        int seen = IfMatch.version(ifMatch);
        Recorded recorded = encounters.amend(Key.of(id, "record"), seen, JsonBody.read(request));
        return ResponseEntity.ok().eTag(tag(recorded)).body(EncounterJson.of(recorded));
    }

    @Needs({Right.AMEND_OWN, Right.AMEND_ANY})
    @PostMapping(path = "/encounters/{id}/withdrawal", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> withdraw(@PathVariable String id, HttpServletRequest request) {
        Recorded recorded = encounters.withdraw(Key.of(id, "record"), JsonBody.read(request));
        return ResponseEntity.ok().eTag(tag(recorded)).body(EncounterJson.of(recorded));
    }

    @GetMapping("/encounters/{id}/versions")
    ArrayNode versions(@PathVariable String id) {
        UUID encounter = Key.of(id, "record");
        return EncounterJson.of(
                encounters.versions(encounter),
                encounters.read(encounter).site().zone());
    }

    @GetMapping("/encounters/{id}/versions/{version}")
    ResponseEntity<ObjectNode> version(@PathVariable String id, @PathVariable String version) {
        if (!version.matches("[1-9][0-9]{0,8}")) {
            throw new Problem.Missing("version");
        }
        Recorded recorded = encounters.read(Key.of(id, "record"), Integer.parseInt(version));
        return ResponseEntity.ok().eTag(tag(recorded)).body(EncounterJson.of(recorded));
    }

    @Needs(Right.READ_SETUPS)
    @GetMapping("/device-setups")
    ArrayNode setups(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        Site site = sites.named(siteId);
        ArrayNode out = JSON.createArrayNode();
        setups.all(site).forEach(setup -> out.add(EncounterJson.of(setup)));
        return out;
    }

    @Needs(Right.KEEP_SETUPS)
    @PostMapping(path = "/device-setups", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> add(HttpServletRequest request) {
        DeviceSetup setup = setups.add(JsonBody.read(request));
        return ResponseEntity.created(URI.create("/api/v1/device-setups")).body(EncounterJson.of(setup));
    }

    private static String tag(Recorded recorded) {
        return IfMatch.tag(recorded.version());
    }
}
