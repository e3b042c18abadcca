package airway.registry.kit;

import static airway.sql.generated.kit.Tables.LOT;
import static airway.sql.generated.kit.Tables.LOT_LEFT;
import static airway.sql.generated.kit.Tables.LOT_USE;
import static airway.sql.generated.kit.Tables.STOCK;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Problem;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.UUID;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Reads and writes lots and their logs in a running transaction. */
final class LotRows {
    private static final String GTIN = "01";
    private static final String NUMBER = "10";

    private final DSLContext dsl;

    LotRows(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** The lots of a unit, by kind and day. */
    List<Lot> all(Site site) {
        return lots(site, DSL.noCondition());
    }

    /**
     * A lot as it is now.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    Lot lot(UUID id) {
        Short no = dsl.select(LOT.SITE_ID).from(LOT).where(LOT.LOT_ID.eq(id)).fetchOne(LOT.SITE_ID);
        Site site = Sites.all(dsl).stream()
                .filter(one -> no != null && one.no() == no)
                .findFirst()
                .orElseThrow(() -> new Problem.Missing("lot"));
        return lots(site, LOT_LEFT.LOT_ID.eq(id)).get(0);
    }

    private List<Lot> lots(Site site, Condition which) {
        Map<UUID, Kind> kinds =
                new KitQuery(dsl).kinds(site).stream().collect(Collectors.toMap(Kind::id, Function.identity()));
        return dsl.selectFrom(LOT_LEFT)
                .where(LOT_LEFT.SITE_ID.eq(site.no()), which)
                .orderBy(LOT_LEFT.USE_BY.asc().nullsLast(), LOT_LEFT.LOT)
                .fetch(row -> new Lot(
                        row.get(LOT_LEFT.LOT_ID),
                        Objects.requireNonNull(kinds.get(row.get(LOT_LEFT.KIND_ID))),
                        row.get(LOT_LEFT.LOT),
                        row.get(LOT_LEFT.GTIN),
                        row.get(LOT_LEFT.USE_BY),
                        row.get(LOT_LEFT.VERSION),
                        row.get(LOT_LEFT.IN_STOCK)));
    }

    /**
     * The lot that a label names: by GTIN and lot number as scanned, else by the lot number as typed, where the unit has one
     * such lot alone.
     *
     * @param today decides what a scan may be
     */
    Optional<Lot> find(Site site, String label, LocalDate today) {
        Map<String, String> elements = Scan.read(label, today).elements().stream()
                .collect(Collectors.toMap(Scan.Element::ai, Scan.Element::value));
        String gtin = elements.get(GTIN);
        String number = elements.get(NUMBER);
        List<Lot> found = gtin != null && number != null
                ? lots(site, LOT_LEFT.GTIN.eq(gtin).and(LOT_LEFT.LOT.eq(number)))
                : lots(site, LOT_LEFT.LOT.eq(label.strip()));
        return found.size() == 1 ? Optional.of(found.get(0)) : Optional.empty();
    }

    /** The lines of a lot, the newest first. */
    List<Lot.Line> log(Lot lot) {
        return dsl.selectFrom(STOCK)
                .where(STOCK.SITE_ID.eq(lot.kind().site().no()), STOCK.LOT_ID.eq(lot.id()))
                .orderBy(STOCK.VERSION.desc())
                .fetch(row -> new Lot.Line(
                        row.get(STOCK.VERSION),
                        Lot.Move.of(row.get(STOCK.MOVE)),
                        row.get(STOCK.CHANGE),
                        row.get(STOCK.IN_STOCK),
                        row.get(STOCK.MOVED_AT).toInstant(),
                        row.get(STOCK.ENCOUNTER_ID),
                        row.get(STOCK.ATTEMPT_NO) == null
                                ? null
                                : row.get(STOCK.ATTEMPT_NO).intValue(),
                        row.get(STOCK.REASON)));
    }

    /**
     * How many of a lot were used in an attempt.
     *
     * @param version the last line that says so
     * @param late whether it was told late
     */
    record Use(UUID lot, UUID record, int attempt, int units, Instant at, int version, boolean late) {}

    /** What records say, as they say it now. */
    List<Use> usesOf(Site site, Collection<UUID> records) {
        return uses(site, LOT_USE.ENCOUNTER_ID.in(records));
    }

    /** What was used of lots. */
    List<Use> usesOfLots(Site site, Collection<UUID> lots) {
        return uses(site, LOT_USE.LOT_ID.in(lots));
    }

    private List<Use> uses(Site site, Condition which) {
        return dsl.selectFrom(LOT_USE)
                .where(LOT_USE.SITE_ID.eq(site.no()), which)
                .orderBy(LOT_USE.USED_AT, LOT_USE.LOT_ID, LOT_USE.ENCOUNTER_ID, LOT_USE.ATTEMPT_NO)
                .fetch(row -> new Use(
                        row.get(LOT_USE.LOT_ID),
                        row.get(LOT_USE.ENCOUNTER_ID),
                        row.get(LOT_USE.ATTEMPT_NO),
                        row.get(LOT_USE.UNITS),
                        row.get(LOT_USE.USED_AT).toInstant(),
                        row.get(LOT_USE.VERSION),
                        row.get(LOT_USE.LATE)));
    }

    /** Adds a lot, of which something came. */
    void insert(Lot lot) {
        dsl.insertInto(LOT)
                .set(LOT.SITE_ID, lot.kind().site().no())
                .set(LOT.LOT_ID, lot.id())
                .set(LOT.KIND_ID, lot.kind().id())
                .set(LOT.LOT_, lot.lot())
                .set(LOT.GTIN, lot.gtin())
                .set(LOT.USE_BY, lot.useBy())
                .execute();
    }

    /**
     * Adds a line to the log of a lot as it is now.
     *
     * @param change how many came, or went (below 0)
     */
    void insert(
            Lot lot,
            Lot.Move move,
            int change,
            Instant at,
            @Nullable UUID record,
            @Nullable Integer attempt,
            @Nullable String reason) {
        dsl.insertInto(STOCK)
                .set(STOCK.SITE_ID, lot.kind().site().no())
                .set(STOCK.LOT_ID, lot.id())
                .set(STOCK.VERSION, lot.version() + 1)
                .set(STOCK.MOVE, move.code())
                .set(STOCK.BEFORE, lot.left())
                .set(STOCK.CHANGE, change)
                .set(STOCK.MOVED_AT, at.atOffset(ZoneOffset.UTC))
                .set(STOCK.ENCOUNTER_ID, record)
                .set(STOCK.ATTEMPT_NO, attempt == null ? null : attempt.shortValue())
                .set(STOCK.REASON, reason)
                .execute();
    }
}
