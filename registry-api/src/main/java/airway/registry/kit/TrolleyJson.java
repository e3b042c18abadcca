package airway.registry.kit;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Writes trolleys and checks as JSON; slots and lines are kept so in the database too. */
final class TrolleyJson {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter INSTANT =
            DateTimeFormatter.ofPattern("yyyy-MM-dd'T'HH:mm:ssxxx", Locale.ROOT);

    private TrolleyJson() {}

    /** What should lie where, as kept. */
    static ArrayNode slots(List<Slot> slots) {
        ArrayNode out = JSON.createArrayNode();
        for (Slot slot : slots) {
            ObjectNode one = out.addObject().put("drawer", slot.drawer()).put("title", slot.title());
            if (slot.kind() != null) {
                one.put("kind_id", slot.kind().toString());
            }
            one.put("wanted", slot.wanted()).put("least", slot.least()).put("dated", slot.dated());
        }
        return out;
    }

    static List<Slot> slots(String kept) {
        List<Slot> slots = new ArrayList<>();
        for (JsonNode one : JSON.readTree(kept)) {
            String kind = one.path("kind_id").asString("");
            slots.add(new Slot(
                    one.path("drawer").asString(),
                    one.path("title").asString(),
                    kind.isEmpty() ? null : UUID.fromString(kind),
                    one.path("wanted").intValue(),
                    one.path("least").intValue(),
                    one.path("dated").booleanValue()));
        }
        return slots;
    }

    /** What was found, as kept: each slot by its place from 1. */
    static ArrayNode lines(List<Check.Line> lines) {
        ArrayNode out = JSON.createArrayNode();
        for (Check.Line line : lines) {
            ObjectNode one = out.addObject().put("slot", out.size()).put("found", line.count());
            if (line.useBy() != null) {
                one.put("use_by", line.useBy().toString());
            }
        }
        return out;
    }

    static List<Check.Line> lines(String kept) {
        List<Check.Line> lines = new ArrayList<>();
        for (JsonNode one : JSON.readTree(kept)) {
            String useBy = one.path("use_by").asString("");
            lines.add(new Check.Line(one.path("found").intValue(), useBy.isEmpty() ? null : LocalDate.parse(useBy)));
        }
        return lines;
    }

    static ArrayNode standings(List<Standing> standings) {
        ArrayNode out = JSON.createArrayNode();
        standings.forEach(standing -> out.add(of(standing)));
        return out;
    }

    /** How a trolley stands, with what should lie in it. */
    static ObjectNode of(Standing standing) {
        Trolley trolley = standing.trolley();
        ZoneId zone = trolley.site().zone();
        ObjectNode out = JSON.createObjectNode()
                .put("trolley_id", trolley.id().toString())
                .put("version", trolley.version())
                .put("site_id", trolley.site().code())
                .put("title", trolley.title())
                .put("in_use", yes(trolley.inUse()))
                .put("status", standing.word().code())
                .put("words", standing.sentence() + ".")
                .put("seen", standing.seen());
        ArrayNode reasons = out.putArray("reasons");
        standing.reasons().forEach(reasons::add);
        ArrayNode notes = out.putArray("notes");
        standing.notes().forEach(notes::add);
        ArrayNode restock = out.putArray("restock");
        for (Standing.Restock one : standing.restock()) {
            restock.addObject()
                    .put("drawer", one.drawer())
                    .put("title", one.title())
                    .put("number", one.how());
        }
        put(out, "seal", standing.seal());
        put(
                out,
                "checked_at",
                standing.last() == null ? null : moment(standing.last().found().at(), zone));
        put(out, "due", standing.due() == null ? null : moment(standing.due(), zone));
        put(out, "in_date_until", standing.inDateUntil());
        out.put("due_at", trolley.dueAt().toString())
                .put("check_days", trolley.checkDays())
                .put("full_days", trolley.fullDays())
                .put("light", yes(trolley.light()));
        if (trolley.batteryLeast() != null) {
            out.put("battery_least", trolley.batteryLeast());
        }
        out.put("recorder", yes(trolley.recorder()));
        ArrayNode slots = out.putArray("slots");
        for (Slot slot : trolley.slots()) {
            ObjectNode one = slots.addObject().put("drawer", slot.drawer()).put("title", slot.title());
            put(one, "kind_id", slot.kind());
            one.put("wanted", slot.wanted()).put("least", slot.least()).put("dated", yes(slot.dated()));
        }
        return out;
    }

    /** The log of a trolley. */
    static ArrayNode log(List<Check> log, ZoneId zone) {
        ArrayNode out = JSON.createArrayNode();
        log.forEach(check -> out.add(of(check, zone)));
        return out;
    }

    private static ObjectNode of(Check check, ZoneId zone) {
        Check.Found found = check.found();
        ObjectNode out = JSON.createObjectNode()
                .put("version", check.version())
                .put("status", check.status())
                .put("kind", found.kind().code())
                .put("at", moment(found.at(), zone))
                .put("entered_at", moment(check.enteredAt(), zone))
                .put("trolley_version", check.layout());
        if (check.corrects() != null) {
            out.put("corrects", check.corrects());
        }
        put(out, "reason", check.reason());
        put(out, "seal_found", found.sealFound());
        put(out, "seal_read", found.sealRead());
        put(out, "seal_applied", found.sealApplied());
        if (!found.lines().isEmpty()) {
            out.set("lines", lines(found.lines()));
        }
        put(out, "light", found.light() == null ? null : yes(found.light()));
        if (found.battery() != null) {
            out.put("battery", found.battery());
        }
        put(out, "memory_free", found.memoryFree() == null ? null : yes(found.memoryFree()));
        put(
                out,
                "recordings",
                found.recordings() == null ? null : found.recordings().code());
        put(out, "note", found.note());
        return out;
    }

    private static String yes(boolean value) {
        return value ? "yes" : "no";
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
