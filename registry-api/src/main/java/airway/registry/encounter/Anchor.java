package airway.registry.encounter;

import java.util.Map;
import org.jspecify.annotations.Nullable;

/** Where the record page asks for a variable, as the part of an address after the hash. */
public final class Anchor {
    private static final Map<String, String> OF_RECORD = Map.ofEntries(
            Map.entry("encounter_start", "start_day"),
            Map.entry("location", "location"),
            Map.entry("encounter_kind", "kind"),
            Map.entry("age_days", "age"),
            Map.entry("age_precision", "age"),
            Map.entry("weight_kg", "weight"),
            Map.entry("cyanotic_heart_disease", "cyanotic"),
            Map.entry("indication_main", "reason"),
            Map.entry("urgency", "urgency"),
            Map.entry("difficulty_predicted", "difficulty"),
            Map.entry("recorder_role", "a1.part"),
            Map.entry("spo2_best_before", "a1.best"),
            Map.entry("adverse_event_any", "event"),
            Map.entry("event_type", "event"),
            Map.entry("event_attempt_no", "event"));
    private static final Map<String, String> OF_ATTEMPT = Map.ofEntries(
            Map.entry("device_setup_id", "setup"),
            Map.entry("look_target", "look"),
            Map.entry("operator_grade", "who"),
            Map.entry("operator_experience", "who"),
            Map.entry("operator_setup_uses", "uses"),
            Map.entry("tube_passes", "passes"),
            Map.entry("attempt_success", "end"),
            Map.entry("tube_position", "end"),
            Map.entry("failure_reason", "why"),
            Map.entry("confirmation", "co2"),
            Map.entry("sustained_co2", "co2"),
            Map.entry("spo2_lowest", "lowest"),
            Map.entry("kit_issue", "kit"));

    private Anchor() {}

    /**
     * The field that asks for a variable.
     *
     * @param attempt the attempt it is about, or null
     * @return the field, the attempt where the page has no field for the variable, or empty where it has neither
     */
    public static String of(String variable, @Nullable Integer attempt) {
        if (attempt == null) {
            return OF_RECORD.getOrDefault(variable, "");
        }
        String field = OF_ATTEMPT.get(variable);
        return "a" + attempt + (field == null ? "" : "." + field);
    }
}
