package airway.registry.identity;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.body;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.ref;

import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import java.util.List;
import java.util.Map;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The hospital number in the API, described for programs. */
@Component
@Order(2)
class HospitalNumberDescription implements ApiPart {
    private static final String PATH = "/api/v1/encounters/{id}/hospital-number";
    private static final JsonMapper JSON = new JsonMapper();
    private static final JsonNode PUT = JSON.readTree("{\"hospital_number\": \"A 0012345\"}");
    private static final JsonNode LOOK = JSON.readTree("{\"reason_code\": \"case_review\"}");

    @Override
    public void describe(ApiDocument document) {
        ObjectNode put = document.operation(
                "put", PATH, "putHospitalNumber", "Keep the hospital number of the child of a record", 413, 415, 422);
        ObjectNode number = closed(List.of(HospitalNumberForm.NUMBER));
        ObjectNode value = number.putObject("properties").putObject(HospitalNumberForm.NUMBER);
        value.putArray("type").add("string").add("null");
        value.put("minLength", 1)
                .put("maxLength", HospitalNumber.LONGEST)
                .put(
                        "description",
                        "Printable characters; kept encrypted, apart from the record. Null takes it out. No GET ever"
                                + " answers it.");
        body(put, number, Map.of("number", PUT));
        ObjectNode said = closed(List.of("encounter_id", HospitalNumberForm.NUMBER));
        ObjectNode parts = said.putObject("properties");
        parts.putObject("encounter_id").put("type", "string").put("format", "uuid");
        codes(parts.putObject(HospitalNumberForm.NUMBER), List.of("kept", "none"));
        answer(put, 200, "Whether one is kept now.", said);

        ObjectNode look = document.operation(
                "post",
                PATH + "/look",
                "lookAtHospitalNumber",
                "Look at the hospital number of a record",
                413,
                415,
                422);
        ObjectNode why = closed(List.of("reason_code"));
        ObjectNode reasons = why.putObject("properties");
        codes(reasons.putObject("reason_code"), Purpose.Code.values(Purpose.Code.TO_LOOK));
        reasons.putObject("reason_text")
                .put("type", "string")
                .put("minLength", 1)
                .put("maxLength", Purpose.LONGEST)
                .put("description", "Needed with other; never the number.");
        body(look, why, Map.of("review", LOOK));
        document.schema("SeenHospitalNumber").setAll(seen());
        answer(look, 200, "The number. The look stands in the audit.", ref("SeenHospitalNumber"));
    }

    private static ObjectNode seen() {
        ObjectNode seen = closed(List.of("encounter_id", HospitalNumberForm.NUMBER));
        ObjectNode parts = seen.putObject("properties");
        parts.putObject("encounter_id").put("type", "string").put("format", "uuid");
        parts.putObject(HospitalNumberForm.NUMBER).put("type", "string");
        return seen;
    }

    private static ObjectNode closed(List<String> required) {
        ObjectNode schema = object().put("type", "object").put("additionalProperties", false);
        ArrayNode names = schema.putArray("required");
        required.forEach(names::add);
        return schema;
    }

    private static void codes(ObjectNode schema, List<String> codes) {
        ArrayNode all = schema.put("type", "string").putArray("enum");
        codes.forEach(all::add);
    }
}
