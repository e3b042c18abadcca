package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.web.JsonBody;
import airway.registry.web.JsonFields;
import jakarta.servlet.http.HttpServletRequest;
import java.time.Clock;
import java.time.LocalDate;
import java.util.Set;
import org.springframework.http.MediaType;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** What a scanner sent, read for programs. It touches nothing that is kept, so whoever is signed in may ask. */
@Needs({})
@RestController
class ScanApi {
    private static final JsonMapper JSON = new JsonMapper();

    private final Clock clock;

    ScanApi(Clock clock) {
        this.clock = clock;
    }

    @PostMapping(
            path = "/api/v1/kit/scans",
            consumes = MediaType.APPLICATION_JSON_VALUE,
            produces = MediaType.APPLICATION_JSON_VALUE)
    ObjectNode read(HttpServletRequest request) {
        JsonNode body = JsonBody.read(request);
        JsonFields fields = JsonFields.of(body, Set.of("data", "today"));
        LocalDate today = fields.date("today");
        JsonNode data = body.path("data");
        if (fields.blank("data")) {
            fields.fault("data", "required", "Send what the scanner sent; an empty text if it sent nothing.");
        } else if (!data.isString()) {
            fields.fault("data", "type", "Send what the scanner sent as one text.");
        }
        fields.check();
        Scan scan = Scan.read(data.asString(""), today == null ? LocalDate.now(clock) : today);
        ObjectNode answer = JSON.createObjectNode().put("result", scan.result().name());
        ArrayNode warnings = answer.putArray("warnings");
        scan.warnings().forEach(warning -> warnings.add(warning.name()));
        ArrayNode elements = answer.putArray("elements");
        for (Scan.Element element : scan.elements()) {
            ObjectNode one = elements.addObject().put("ai", element.ai()).put("value", element.value());
            if (element.date() != null) {
                one.put("date", element.date());
            }
        }
        return answer;
    }
}
