package airway.registry.access;

import java.time.ZoneId;
import java.util.LinkedHashMap;
import java.util.Map;

/**
 * A unit that contributes records.
 *
 * @param no small key inside the database
 * @param code short local code, {@code site_id} in the API
 * @param zone months and quarters are those of this zone
 * @param invented its data are invented, and every page says so
 */
public record Site(short no, String code, String title, String kind, ZoneId zone, boolean invented) {
    /** The kinds of units with what they are called: the codes of {@code site_kind} in the dictionary. */
    public static final Map<String, String> KINDS = new LinkedHashMap<>();

    static {
        KINDS.put("picu", "Children's intensive care");
        KINDS.put("nicu", "Newborn intensive care");
        KINDS.put("icu_mixed", "Intensive care for children and adults");
        KINDS.put("icu_adult", "Adult intensive care");
        KINDS.put("ed", "Emergency department");
        KINDS.put("theatre", "Operating theatre");
        KINDS.put("transport", "Transport team");
        KINDS.put("other", "Another kind");
    }
}
