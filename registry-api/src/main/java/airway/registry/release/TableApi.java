package airway.registry.release;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Sites;
import airway.registry.cohort.Stratum;
import airway.registry.problem.Fault;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import airway.registry.web.JsonBody;
import airway.registry.web.JsonParameters;
import jakarta.servlet.http.HttpServletRequest;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Tables of counts for others, over HTTP. */
@Needs(Right.TELL_COUNTS)
@RestController
@RequestMapping("/api/v1/tables")
class TableApi {
    static final MediaType CSV = new MediaType("text", "csv", StandardCharsets.UTF_8);

    private static final Set<String> PARTS =
            Set.of("site_id", "measure", "scheme", "by", "from", "to", "filters", "audience", "recipient", "purpose");

    private final Tables tables;
    private final Sites sites;

    TableApi(Tables tables, Sites sites) {
        this.tables = tables;
        this.sites = sites;
    }

    @GetMapping(produces = MediaType.APPLICATION_JSON_VALUE)
    ArrayNode list(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return TableJson.of(tables.all(sites.named(siteId)));
    }

    @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE, produces = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> tell(HttpServletRequest request) {
        JsonNode body = JsonBody.read(request);
        ToldTable told = JsonParameters.told(
                PARTS,
                () -> tables.tell(JsonParameters.of(
                        body, PARTS, name -> Stratum.named(name).isPresent())));
        return ResponseEntity.created(URI.create("/api/v1/tables/" + told.id())).body(TableJson.of(told));
    }

    @GetMapping(
            path = "/{id}",
            produces = {MediaType.APPLICATION_JSON_VALUE, "text/csv"})
    ResponseEntity<?> read(
            @PathVariable String id,
            @RequestParam(name = "format", required = false) @Nullable String format,
            HttpServletRequest request) {
        ToldTable told = tables.read(Key.of(id, "table"));
        if (format != null && !Set.of("csv", "json").contains(format)) {
            throw new Problem.Malformed(Fault.parameter("format", "code", "Send csv or json."));
        }
        String accept = String.valueOf(request.getHeader("Accept"));
        return "csv".equals(format) || (format == null && accept.contains("text/csv"))
                ? ResponseEntity.ok().contentType(CSV).body(TableJson.csv(told.table()))
                : ResponseEntity.ok().contentType(MediaType.APPLICATION_JSON).body(TableJson.of(told));
    }
}
