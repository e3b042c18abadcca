package airway.registry.kit;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Writes a look-back as JSON; hospital numbers never. */
final class LookBackJson {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter INSTANT =
            DateTimeFormatter.ofPattern("yyyy-MM-dd'T'HH:mm:ssxxx", Locale.ROOT);

    private LookBackJson() {}

    static ObjectNode of(LookBack look) {
        ZoneId zone = look.site().zone();
        ObjectNode out = JSON.createObjectNode()
                .put("site_id", look.site().code())
                .put("by", look.asked().by().code())
                .put("at", moment(look.at(), zone));
        ArrayNode items = out.putArray("items");
        for (LookBack.Found item : look.items()) {
            ObjectNode one = items.addObject()
                    .put(item.state() == null ? "lot_id" : "item_id", item.id().toString())
                    .put("name", item.name())
                    .put("kind", item.kind())
                    .put("lines", item.lines());
            put(one, "state", item.state() == null ? null : item.state().code());
            put(one, "since", item.since() == null ? null : moment(item.since(), zone));
            if (item.left() != null) {
                one.put("left", item.left());
            }
            put(one, "place", item.place());
        }
        ArrayNode uses = out.putArray("uses");
        for (LookBack.Use use : look.uses()) {
            ObjectNode one = uses.addObject()
                    .put("side", use.side().code())
                    .put(use.units() == null ? "item_id" : "lot_id", use.item().toString())
                    .put("name", use.name())
                    .put("line", use.line())
                    .put("at", moment(use.at(), zone));
            put(one, "encounter_id", use.record());
            if (use.attempt() != null) {
                one.put("attempt_no", use.attempt());
            }
            if (use.units() != null) {
                one.put("units", use.units());
            }
            one.put("cycles_between", use.cycles()).put("uncertain", use.uncertain() ? "yes" : "no");
        }
        LookBack.Coverage known = look.coverage();
        ObjectNode coverage = out.putObject("coverage");
        put(coverage, "from", known.from() == null ? null : moment(known.from(), zone));
        coverage.put("to", moment(known.to(), zone))
                .put("records", known.records())
                .put("records_named", known.named())
                .put("uses_without_record", known.withoutRecord())
                .put("late_moves", known.late())
                .put("returns_without_cycle", known.withoutCycle())
                .put("items_without_moves", known.still());
        return out;
    }

    private static String moment(Instant moment, ZoneId zone) {
        return INSTANT.format(moment.atZone(zone));
    }

    /** What is not there is left out. */
    private static void put(ObjectNode out, String name, @Nullable Object value) {
        if (value != null) {
            out.put(name, value.toString());
        }
    }
}
