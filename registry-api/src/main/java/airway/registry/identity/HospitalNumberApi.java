package airway.registry.identity;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.problem.Key;
import airway.registry.web.JsonBody;
import jakarta.servlet.http.HttpServletRequest;
import java.util.UUID;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.MediaType;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.PutMapping;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** The hospital number of a record over HTTP: put, and looked at with a reason; never read by GET. */
@Needs(Right.SEE_IDENTITY)
@RestController
@ConditionalOnWebApplication
@RequestMapping(path = "/api/v1/encounters/{id}/hospital-number", produces = MediaType.APPLICATION_JSON_VALUE)
class HospitalNumberApi {
    private static final JsonMapper JSON = new JsonMapper();

    private final HospitalNumbers numbers;

    HospitalNumberApi(HospitalNumbers numbers) {
        this.numbers = numbers;
    }

    @Needs({Right.AMEND_OWN, Right.AMEND_ANY})
    @PutMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
    ObjectNode put(@PathVariable String id, HttpServletRequest request) {
        UUID record = Key.of(id, "record");
        boolean kept = numbers.put(record, JsonBody.read(request));
        return JSON.createObjectNode()
                .put("encounter_id", record.toString())
                .put("hospital_number", kept ? "kept" : "none");
    }

    @PostMapping(path = "/look", consumes = MediaType.APPLICATION_JSON_VALUE)
    ObjectNode look(@PathVariable String id, HttpServletRequest request) {
        UUID record = Key.of(id, "record");
        HospitalNumber number = numbers.look(record, JsonBody.read(request));
        return JSON.createObjectNode()
                .put("encounter_id", record.toString())
                .put(HospitalNumberForm.NUMBER, number.shown());
    }
}
