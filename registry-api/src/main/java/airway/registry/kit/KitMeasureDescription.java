package airway.registry.kit;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.list;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.parameter;

import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import java.util.List;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.node.ObjectNode;

/** The measures of the kit, described for programs. */
@Component
@Order(9)
class KitMeasureDescription implements ApiPart {
    @Override
    public void describe(ApiDocument document) {
        ObjectNode measures = document.operation(
                "get", "/api/v1/kit/measures", "listKitMeasures", "The measures of the kit, the last twelve months");
        parameter(
                measures, "query", "site_id", false, object().put("type", "string"), "The unit; yours when left out.");
        ObjectNode measure = object().put("type", "object");
        ObjectNode fields = measure.putObject("properties");
        fields.putObject("measure").put("type", "string");
        counted(fields);
        ObjectNode month = object().put("type", "object");
        ObjectNode monthFields = month.putObject("properties");
        monthFields.putObject("month").put("type", "string");
        counted(monthFields);
        fields.set("months", list(month));
        answer(
                measures,
                200,
                "Shares with Wilson's 95% interval; blade_turnaround is the median of days (Kaplan and Meier), n sent and x"
                        + " ready again. What cannot be computed is null.",
                list(measure));
    }

    private static void counted(ObjectNode fields) {
        for (String name : List.of("x", "n")) {
            fields.putObject(name).put("type", "integer").put("minimum", 0);
        }
        for (String name : List.of("value", "lower", "upper")) {
            fields.putObject(name).putArray("type").add("number").add("null");
        }
    }
}
