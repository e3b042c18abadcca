package airway.registry.kit;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import java.util.stream.Collectors;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;

/** Single-use stock by lot: what came, what is left, what was thrown away or counted. What is used, records tell. */
@Component
class Lots {
    private static final int MOST = 10_000;
    private static final int LONGEST_LOT = 20;
    private static final int MOST_LINES = 1_000_000_000;

    private final ActorTransactions transactions;
    private final Clock clock;

    Lots(ActorTransactions transactions, Clock clock) {
        this.transactions = transactions;
        this.clock = clock;
    }

    /** What the page of the stock shows, all of one moment. */
    record Stock(List<Kind> kinds, List<Lot> lots, LocalDate today) {}

    Stock stock(Site site) {
        return transactions.read(dsl -> new Stock(
                new KitQuery(dsl).kinds(site).stream().filter(Kind::singleUse).toList(),
                new LotRows(dsl).all(site),
                today(site)));
    }

    /** A lot with its log, the newest line first. */
    record Whole(Lot lot, List<Lot.Line> log) {}

    /**
     * A lot.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    Whole lot(UUID id) {
        return transactions.read(dsl -> whole(dsl, id));
    }

    private static Whole whole(DSLContext dsl, UUID id) {
        LotRows rows = new LotRows(dsl);
        Lot lot = rows.lot(id);
        return new Whole(lot, rows.log(lot));
    }

    /**
     * Adds what came of a lot, a new one or one that is there. A scanned label tells GTIN, lot and day; a GTIN that came before
     * tells the kind.
     *
     * @param body {@code {site_id?, label?, kind?, gtin?, lot?, use_by?, number}}
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid with every fault
     */
    Whole receive(JsonNode body) {
        return transactions.write(dsl -> {
            Site site = Sites.inBody(dsl, body);
            new KitStore(dsl).hold(site);
            LotRows rows = new LotRows(dsl);
            List<Lot> there = rows.all(site);
            JsonFields fields =
                    JsonFields.of(body, Set.of("site_id", "label", "kind", "gtin", "lot", "use_by", "number"));
            Map<String, Scan.Element> label = label(fields, site);
            String gtin = said(fields, label, "gtin", "01");
            if (gtin != null && !gtin.matches("\\d{14}")) {
                fields.fault("gtin", "gtin.form", "Write all 14 digits.");
            }
            String number = fields.needed(
                    "lot",
                    said(fields, label, "lot", "10"),
                    "Write the lot as it stands on the pack; leading zeros count.");
            LocalDate useBy = day(fields, label);
            Integer units = fields.needed("number", fields.whole("number", 1, MOST), "Write how many came.");
            Kind kind = kind(fields, new KitQuery(dsl).kinds(site), there, gtin);
            Optional<Lot> known = there.stream()
                    .filter(lot -> lot.kind().equals(kind) && lot.lot().equals(number))
                    .findFirst();
            known.ifPresent(lot -> same(fields, lot, gtin, useBy));
            fields.check();
            Lot lot = known.orElseGet(() -> new Lot(
                    UUID.randomUUID(),
                    Objects.requireNonNull(kind),
                    Objects.requireNonNull(number),
                    gtin,
                    useBy,
                    0,
                    0));
            if (known.isEmpty()) {
                rows.insert(lot);
            }
            rows.insert(lot, Lot.Move.RECEIVED, Objects.requireNonNull(units), now(), null, null, null);
            return whole(dsl, lot.id());
        });
    }

    private Map<String, Scan.Element> label(JsonFields fields, Site site) {
        String label = fields.text("label", ItemForm.LONGEST_LABEL);
        if (label == null) {
            return Map.of();
        }
        Scan scan = Scan.read(label.replace('\u241d', Scan.SEPARATOR), today(site));
        if (scan.elements().isEmpty()) {
            fields.fault("label", "label.unread", "This is no label that can be read; type GTIN, lot and day instead.");
        }
        return scan.elements().stream().collect(Collectors.toMap(Scan.Element::ai, element -> element));
    }

    /** What was typed, else what the label says; both must say the same. */
    private static @Nullable String said(
            JsonFields fields, Map<String, Scan.Element> label, String name, String identifier) {
        String typed = MoveForm.number(fields, name, LONGEST_LOT);
        Scan.Element scanned = label.get(identifier);
        if (typed != null && scanned != null && !typed.equals(scanned.value())) {
            fields.fault(name, "label.other", "The label says " + scanned.value() + "; leave one of them out.");
        }
        return typed != null || scanned == null ? typed : scanned.value();
    }

    private static @Nullable LocalDate day(JsonFields fields, Map<String, Scan.Element> label) {
        LocalDate typed = fields.date("use_by");
        Scan.Element scanned = label.get("17");
        LocalDate day = scanned == null || scanned.date() == null ? null : LocalDate.parse(scanned.date());
        if (typed != null && day != null && !typed.equals(day)) {
            fields.fault("use_by", "label.other", "The label says " + day + "; leave one of them out.");
        }
        return typed == null ? day : typed;
    }

    private static @Nullable Kind kind(JsonFields fields, List<Kind> kinds, List<Lot> there, @Nullable String gtin) {
        String title = fields.text("kind", ItemForm.LONGEST_TITLE);
        Optional<Kind> before = there.stream()
                .filter(lot -> gtin != null && gtin.equals(lot.gtin()))
                .map(Lot::kind)
                .findFirst();
        if (title == null) {
            return fields.needed(
                    "kind",
                    before.orElse(null),
                    gtin == null ? "Name its kind." : "Name its kind; this GTIN did not come before.");
        }
        Optional<Kind> named =
                kinds.stream().filter(kind -> kind.title().equals(title)).findFirst();
        if (named.isEmpty() || !named.get().singleUse()) {
            fields.fault("kind", "kind.unknown", "There is no such single-use kind in the unit; enter the kind first.");
        } else if (before.isPresent() && !before.equals(named)) {
            fields.fault(
                    "kind",
                    "gtin.other",
                    "This GTIN came before as " + before.get().title() + ".");
        }
        return named.orElse(null);
    }

    /** A lot is what it was when it first came. */
    private static void same(JsonFields fields, Lot lot, @Nullable String gtin, @Nullable LocalDate useBy) {
        if (gtin != null && !gtin.equals(lot.gtin())) {
            fields.fault(
                    "gtin",
                    "lot.other",
                    "This lot came before with " + (lot.gtin() == null ? "no GTIN" : "GTIN " + lot.gtin()) + ".");
        }
        if (useBy != null && !useBy.equals(lot.useBy())) {
            fields.fault(
                    "use_by",
                    "lot.other",
                    "This lot came before with " + (lot.useBy() == null ? "no use-by day" : "use-by day " + lot.useBy())
                            + ".");
        }
    }

    /**
     * Counts a lot anew, or throws some of it away.
     *
     * @param body {@code {move, seen, number, reason?}}
     * @throws Problem.Stale if somebody wrote into its log since
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid with every fault
     */
    Whole move(UUID id, JsonNode body) {
        return transactions.write(dsl -> {
            LotRows rows = new LotRows(dsl);
            new KitStore(dsl).hold(rows.lot(id).kind().site());
            Lot lot = rows.lot(id);
            JsonFields fields = JsonFields.of(body, Set.of("move", "seen", "number", "reason"));
            List<String> codes = List.of(Lot.Move.COUNTED.code(), Lot.Move.DISCARDED.code());
            String words = "Send counted or discarded.";
            String move = fields.needed("move", fields.code("move", codes, words), words);
            Integer seen = fields.needed(
                    "seen", fields.whole("seen", 1, MOST_LINES), "Send the version of the lot that you have seen.");
            boolean counted = Lot.Move.COUNTED.code().equals(move);
            Integer number = fields.needed(
                    "number",
                    fields.whole("number", counted ? 0 : 1, MOST),
                    counted ? "Write how many there are." : "Write how many are thrown away.");
            String reason = fields.text("reason", MoveForm.LONGEST_REASON);
            if (move != null && !counted) {
                fields.needed("reason", reason, "Write why they are thrown away.");
            }
            fields.check();
            if (seen != null && seen != lot.version()) {
                throw new Problem.Stale("\"v" + lot.version() + "\"");
            }
            int change = counted ? Objects.requireNonNull(number) - lot.left() : -Objects.requireNonNull(number);
            if (!counted && lot.left() + change < 0) {
                throw new Problem.Invalid(Fault.at(
                        "/number", "stock.less", "There are " + lot.left() + " by the books; count them first."));
            }
            rows.insert(lot, Lot.Move.of(Objects.requireNonNull(move)), change, now(), null, null, reason);
            return whole(dsl, id);
        });
    }

    private LocalDate today(Site site) {
        return LocalDate.ofInstant(clock.instant(), site.zone());
    }

    /** The database keeps microseconds. */
    private Instant now() {
        return clock.instant().truncatedTo(ChronoUnit.MICROS);
    }
}
