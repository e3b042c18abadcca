package airway.registry.encounter;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.body;
import static airway.registry.web.ApiDocument.header;
import static airway.registry.web.ApiDocument.list;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.parameter;
import static airway.registry.web.ApiDocument.ref;

import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import java.util.Map;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** The records and set-ups of the API, described for programs. */
@Component
@Order(1)
class EncounterDescription implements ApiPart {
    private static final JsonMapper JSON = new JsonMapper();

    private static final JsonNode PLAIN = JSON.readTree("""
            {"encounter_kind": "initial", "encounter_start": "2026-03-01T14:20:00+00:00", "age_days": 210,
             "patient": {"sex": "f"},
             "courses": [{"course_approach": "oral", "spo2_best_before": 98,
               "attempts": [{"attempt_success": "yes", "tube_passes": 1, "spo2_lowest": 94}]}],
             "events": [], "unknown": ["weight_kg"], "confirmed": []}""");

    private static final JsonNode ODD = JSON.readTree("""
            {"encounter_kind": "initial", "encounter_start": "2026-03-01T14:20:00+00:00", "weight_kg": 0.4,
             "courses": [], "confirmed": ["/weight_kg"]}""");

    @Override
    public void describe(ApiDocument document) {
        RecordSchema.add(document);
        records(document);
        versions(document);
        setups(document);
    }

    private static void records(ApiDocument document) {
        ObjectNode make = document.operation(
                "post", "/api/v1/encounters", "recordEncounter", "Keep a record", 409, 413, 415, 422);
        parameter(
                make,
                "header",
                IdempotencyKey.HEADER,
                true,
                object().put("type", "string").put("pattern", "^\"?[A-Za-z0-9_-]{22,200}\"?$"),
                "A new random one for each record, in double quotes. The same key and body answer with the same record.");
        body(make, ref("Record"), Map.of("plain", PLAIN));
        ObjectNode examples = (ObjectNode) make.at("/requestBody/content/application~1json/examples");
        examples.putObject("confirmed").set("value", ODD);
        ObjectNode made = answer(make, 201, "The record is kept.", ref("KeptRecord"));
        header(made, "Location", "Where it is");
        header(made, "ETag", "Its version, as \"v1\"");

        ObjectNode read = document.operation("get", "/api/v1/encounters/{id}", "readEncounter", "Read a record");
        header(answer(read, 200, "The version that counts.", ref("KeptRecord")), "ETag", "Its version, as \"v1\"");

        ObjectNode amend = document.operation(
                "put", "/api/v1/encounters/{id}", "amendEncounter", "Amend a record", 409, 412, 413, 415, 422, 428);
        parameter(
                amend,
                "header",
                "If-Match",
                true,
                object().put("type", "string").put("pattern", "^\"v[1-9][0-9]{0,8}\"$"),
                "The ETag of the version that was read.");
        ObjectNode amended = PLAIN.deepCopy().asObject();
        amended.putObject("amendment").put("reason_code", "mistyped");
        body(amend, ref("AmendedRecord"), Map.of("amended", amended));
        header(answer(amend, 200, "The next version is kept.", ref("KeptRecord")), "ETag", "Its version, as \"v2\"");

        ObjectNode withdraw = document.operation(
                "post",
                "/api/v1/encounters/{id}/withdrawal",
                "withdrawEncounter",
                "Withdraw a record that should not be there",
                409,
                413,
                415,
                422);
        body(
                withdraw,
                ref("Withdrawal"),
                Map.of("duplicate", object().put("reason_code", "duplicate").put("reason_text", "kept twice")));
        answer(withdraw, 200, "It no longer counts and stays readable.", ref("KeptRecord"));
    }

    private static void versions(ApiDocument document) {
        ObjectNode all = document.operation(
                "get", "/api/v1/encounters/{id}/versions", "listVersions", "List the versions of a record");
        answer(all, 200, "The first one first.", list(ref("Version")));
        ObjectNode one = document.operation(
                "get", "/api/v1/encounters/{id}/versions/{version}", "readVersion", "Read a version as it was");
        answer(one, 200, "The version.", ref("KeptRecord"));
    }

    private static void setups(ApiDocument document) {
        ObjectNode all =
                document.operation("get", "/api/v1/device-setups", "listDeviceSetups", "List the set-ups of a unit");
        parameter(all, "query", "site_id", false, object().put("type", "string"), "The unit; yours when left out.");
        answer(all, 200, "In the order they were added.", list(ref("DeviceSetup")));
        ObjectNode add = document.operation(
                "post", "/api/v1/device-setups", "addDeviceSetup", "Add a set-up", 409, 413, 415, 422);
        body(add, ref("DeviceSetup"), Map.of("video", JSON.readTree("""
                        {"device_setup_id": "example-handle", "title": "Example: metal blade, straight, size 1, screen on the handle",
                         "device_mode": "video_standard", "blade_geometry": "straight", "blade_size": "1",
                         "blade_material": "metal", "blade_use": "reusable", "display_mounting": "handle"}""")));
        answer(add, 201, "It is on the list.", ref("DeviceSetup"));
    }
}
