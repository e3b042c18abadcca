package airway.registry.kit;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Writes kinds and items as JSON. */
final class KitJson {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter INSTANT =
            DateTimeFormatter.ofPattern("yyyy-MM-dd'T'HH:mm:ssxxx", Locale.ROOT);

    private KitJson() {}

    static ObjectNode of(Kind kind) {
        ObjectNode out = JSON.createObjectNode()
                .put("kind_id", kind.id().toString())
                .put("version", kind.version())
                .put("site_id", kind.site().code())
                .put("title", kind.title())
                .put("profile", kind.profile().code());
        put(out, "instructions", kind.instructions());
        put(out, "cycle_limit", kind.cycleLimit());
        put(out, "least_ready", kind.leastReady());
        return out;
    }

    static ArrayNode kinds(List<Kind> kinds) {
        ArrayNode out = JSON.createArrayNode();
        kinds.forEach(kind -> out.add(of(kind)));
        return out;
    }

    static ArrayNode discrepancies(List<Discrepancy> all) {
        ArrayNode out = JSON.createArrayNode();
        all.forEach(one -> out.add(of(one)));
        return out;
    }

    static ObjectNode of(Discrepancy one) {
        ZoneId zone = one.site().zone();
        Discrepancy.End end = one.end();
        ObjectNode out = JSON.createObjectNode()
                .put("discrepancy_id", one.id().toString())
                .put("site_id", one.site().code())
                .put("status", end == null ? "open" : one.lapsed() ? "lapsed" : "closed")
                .put("kind", one.kind().code())
                .put("encounter_id", one.record().toString())
                .put("attempt_no", one.attempt())
                .put("told", one.told());
        put(out, "item_id", one.itemInTheEnd());
        put(out, "name", one.itemName());
        put(out, "lot_id", one.lotInTheEnd());
        put(out, "lot", one.lotName());
        out.put("raised_at", moment(one.since(), zone));
        if (end != null) {
            out.put("ended_at", moment(end.at(), zone));
            put(out, "reason", end.reason());
        }
        return out;
    }

    static ArrayNode lots(Lots.Stock stock) {
        ArrayNode out = JSON.createArrayNode();
        stock.lots()
                .forEach(lot -> out.add(
                        lot(lot).put("alert", lot.alert(stock.today()).name().toLowerCase(Locale.ROOT))));
        return out;
    }

    /** A lot with its log, the newest line first. */
    static ObjectNode of(Lots.Whole whole) {
        ObjectNode out = lot(whole.lot());
        ZoneId zone = whole.lot().kind().site().zone();
        ArrayNode log = out.putArray("log");
        for (Lot.Line line : whole.log()) {
            ObjectNode one = log.addObject()
                    .put("version", line.version())
                    .put("move", line.move().code())
                    .put("change", line.change())
                    .put("left", line.left())
                    .put("at", moment(line.at(), zone));
            put(one, "encounter_id", line.record());
            put(one, "attempt_no", line.attempt());
            put(one, "reason", line.reason());
        }
        return out;
    }

    private static ObjectNode lot(Lot lot) {
        ObjectNode out = JSON.createObjectNode()
                .put("lot_id", lot.id().toString())
                .put("version", lot.version())
                .put("site_id", lot.kind().site().code())
                .put("kind", lot.kind().title())
                .put("lot", lot.lot());
        put(out, "gtin", lot.gtin());
        put(out, "use_by", lot.useBy());
        return out.put("left", lot.left());
    }

    static ArrayNode items(List<Traced> items) {
        ArrayNode out = JSON.createArrayNode();
        items.forEach(item -> out.add(item(item)));
        return out;
    }

    /** An item with its log. */
    static ObjectNode whole(Traced traced) {
        ObjectNode out = item(traced);
        ArrayNode log = out.putArray("log");
        ZoneId zone = traced.kind().site().zone();
        traced.log().forEach(move -> log.add(move(move, zone)));
        return out;
    }

    private static ObjectNode item(Traced traced) {
        Item item = traced.item();
        Life life = traced.life();
        ZoneId zone = item.kind().site().zone();
        ObjectNode out = JSON.createObjectNode()
                .put("item_id", item.id().toString())
                .put("version", life.version())
                .put("site_id", item.kind().site().code())
                .put("kind", item.kind().title())
                .put("name", item.name());
        put(out, "gtin", item.gtin());
        put(out, "serial", item.serial());
        put(out, "giai", item.giai());
        out.put("state", life.state().code()).put("since", moment(life.since(), zone));
        put(out, "place", life.place());
        put(out, "label", life.label());
        put(out, "use_by", life.useBy());
        out.put("cycles", traced.cycles());
        put(out, "cycle_limit", item.kind().cycleLimit());
        out.put("clean", life.clean() ? "yes" : "no");
        Move proposal = life.proposal();
        if (proposal != null && proposal.proposes() != null) {
            out.put("proposed", proposal.proposes().code());
        }
        ArrayNode open = out.putArray("moves");
        traced.open().forEach(state -> open.add(state.code()));
        if (Ways.wipingBar(traced.life(), traced.kind()).isEmpty()) {
            open.add(Move.WIPED);
        }
        if (proposal != null) {
            open.add(Move.CONFIRMED);
        }
        if (Ways.canBeTakenBack(life)) {
            open.add(Move.UNDO);
        }
        return out;
    }

    private static ObjectNode move(Move move, ZoneId zone) {
        Told told = move.told();
        ObjectNode out = JSON.createObjectNode()
                .put("version", move.version())
                .put("move", move.done())
                .put("state", move.to().code())
                .put("at", moment(told.at(), zone))
                .put("entered_at", moment(move.enteredAt(), zone))
                .put("late", move.late() ? "yes" : "no");
        put(out, "proposed", move.proposes() == null ? null : move.proposes().code());
        put(out, "place", told.place());
        put(out, "label", told.label());
        put(out, "destination", told.destination());
        put(out, "cycle", told.cycle());
        put(out, "cycle_ended_at", told.cycleEndedAt() == null ? null : moment(told.cycleEndedAt(), zone));
        put(out, "cycle_passed", yes(told.cyclePassed()));
        put(out, "use_by", told.useBy());
        put(out, "pack_whole", yes(told.packWhole()));
        put(out, "checked", yes(told.checked()));
        put(out, "encounter_id", told.encounter());
        put(out, "attempt_no", told.attempt());
        put(out, "reason", told.reason());
        return out;
    }

    private static @Nullable String yes(@Nullable Boolean value) {
        return value == null ? null : value ? "yes" : "no";
    }

    private static String moment(Instant moment, ZoneId zone) {
        return INSTANT.format(moment.atZone(zone));
    }

    /** What is not there is left out. */
    private static void put(ObjectNode out, String name, @Nullable Object value) {
        if (value instanceof Integer number) {
            out.put(name, number);
        } else if (value instanceof String || value instanceof LocalDate || value instanceof java.util.UUID) {
            out.put(name, value.toString());
        }
    }
}
