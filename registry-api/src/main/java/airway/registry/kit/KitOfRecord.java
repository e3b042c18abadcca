package airway.registry.kit;

import static airway.sql.generated.kit.Tables.USE;

import airway.registry.access.Site;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;

/**
 * What a record says of the kit, taken over into the logs of the items in the transaction that keeps the record. Said anew
 * by a later version, only what differs is done: what is named now is used (of a lot, as many as labels name it), what is no longer named is unlinked and stays
 * dirty, what was raised and is no longer said ends.
 */
public final class KitOfRecord {
    private final DSLContext dsl;
    private final Site site;
    private final UUID record;
    private final Instant at;
    private final LocalDate today;
    private final DiscrepancyRows rows;
    private final List<Discrepancy> before;

    private KitOfRecord(DSLContext dsl, Site site, UUID record, Instant at, LocalDate today) {
        this.dsl = dsl;
        this.site = site;
        this.record = record;
        this.at = at;
        this.today = today;
        this.rows = new DiscrepancyRows(dsl);
        this.before = rows.of(site, record);
    }

    /**
     * What an attempt says of the kit.
     *
     * @param number from 1
     * @param labels what stands on the items used, as typed
     * @param issues codes of the kit problems, without "none"
     * @param recording whether images were saved
     */
    public record Attempt(int number, List<String> labels, List<String> issues, boolean recording) {
        boolean saysNothing() {
            return labels.isEmpty() && issues.isEmpty() && !recording;
        }
    }

    /**
     * Takes over what a record says.
     *
     * @param first whether it is the first version of the record
     * @param start when the event began; nothing tells more of an attempt
     * @param attempts empty where the record was withdrawn
     */
    public static void told(
            DSLContext dsl, Site site, UUID record, boolean first, Instant start, Instant now, List<Attempt> attempts) {
        if (first && attempts.stream().allMatch(Attempt::saysNothing)) {
            return;
        }
        new KitStore(dsl).hold(site);
        Instant at = start.isAfter(now) ? now : start;
        new KitOfRecord(dsl, site, record, at, LocalDate.ofInstant(now, site.zone())).take(attempts);
    }

    /** An item in an attempt. */
    private record Use(UUID item, int attempt) {}

    /** What has to be looked into whatever the log says. */
    private record Said(int attempt, Discrepancy.Kind kind, String told) {}

    /** A lot in an attempt. */
    private record LotUse(UUID lot, int attempt) {}

    private void take(List<Attempt> attempts) {
        Map<Use, String> named = new LinkedHashMap<>();
        Map<LotUse, List<String>> lots = new LinkedHashMap<>();
        Set<Said> said = new LinkedHashSet<>();
        for (Attempt attempt : attempts) {
            for (String label : attempt.labels()) {
                What what = what(attempt.number(), label);
                if (what.item() != null) {
                    named.putIfAbsent(new Use(what.item(), attempt.number()), label);
                } else if (what.lot() != null) {
                    lots.computeIfAbsent(new LotUse(what.lot(), attempt.number()), use -> new ArrayList<>())
                            .add(label);
                } else {
                    said.add(new Said(attempt.number(), Discrepancy.Kind.ITEM_UNKNOWN, label));
                }
            }
            attempt.issues()
                    .forEach(issue -> said.add(new Said(attempt.number(), Discrepancy.Kind.KIT_PROBLEM, issue)));
            if (attempt.recording()) {
                said.add(new Said(attempt.number(), Discrepancy.Kind.RECORDING, "yes"));
            }
        }
        List<Use> linked = linked();
        named.forEach((use, label) -> {
            if (!linked.contains(use)) {
                name(use, label);
            }
        });
        Set<UUID> still = new LinkedHashSet<>();
        named.keySet().forEach(use -> still.add(use.item()));
        linked.stream().filter(use -> !named.containsKey(use)).forEach(use -> unname(use, still.contains(use.item())));
        take(lots);
        for (Discrepancy open : before) {
            boolean says = open.kind().ofAUse()
                    ? (open.item() != null && named.containsKey(new Use(open.item(), open.attempt())))
                            || (open.lot() != null && lots.containsKey(new LotUse(open.lot(), open.attempt())))
                    : open.kind() == Discrepancy.Kind.NO_LONGER_NAMED
                            ? open.item() != null && !still.contains(open.item())
                            : said.contains(new Said(open.attempt(), open.kind(), open.told()));
            if (open.end() == null && !says) {
                rows.end(open, null, null, null);
            }
        }
        said.forEach(one -> raise(one.attempt(), one.kind(), one.told(), null, null));
    }

    /** What a label names: an item, a lot, or neither. */
    private record What(@Nullable UUID item, @Nullable UUID lot) {}

    /** What a keeper found out about a label of this record stands for it; else the label speaks for itself. */
    private What what(int attempt, String label) {
        for (Discrepancy closed : before) {
            Discrepancy.End end = closed.end();
            if (end != null
                    && closed.says(attempt, Discrepancy.Kind.ITEM_UNKNOWN, label)
                    && (end.item() != null || end.lot() != null)) {
                return new What(end.item(), end.lot());
            }
        }
        return what(dsl, site, label, today);
    }

    private static What what(DSLContext dsl, Site site, String label, LocalDate today) {
        String read = label.replace('\u241d', Scan.SEPARATOR);
        UUID item = new ItemQuery(dsl).find(site, read, today).orElse(null);
        return new What(
                item,
                item != null
                        ? null
                        : new LotRows(dsl).find(site, read, today).map(Lot::id).orElse(null));
    }

    /**
     * Closes the line of a label that named nothing with what it was, and links the record to that.
     *
     * @param label as it names the item or lot here
     * @return whether it names one
     */
    static boolean link(DSLContext dsl, Discrepancy open, String label, String reason, Instant start, Instant now) {
        Site site = open.site();
        LocalDate today = LocalDate.ofInstant(now, site.zone());
        What what = what(dsl, site, label, today);
        if (what.item() == null && what.lot() == null) {
            return false;
        }
        new DiscrepancyRows(dsl).end(open, reason, what.item(), what.lot());
        KitOfRecord told = new KitOfRecord(dsl, site, open.record(), start.isAfter(now) ? now : start, today);
        if (what.item() != null) {
            Use use = new Use(what.item(), open.attempt());
            if (!told.linked().contains(use)) {
                told.name(use, open.told());
            }
        } else if (what.lot() != null) {
            told.use(new LotUse(what.lot(), open.attempt()), open.told(), 1);
        }
        return true;
    }

    /** Only what differs from before is done: as many as labels name a lot are used. */
    private void take(Map<LotUse, List<String>> lots) {
        Map<LotUse, Integer> taken = new LinkedHashMap<>();
        new LotRows(dsl)
                .usesOf(site, List.of(record))
                .forEach(use -> taken.put(new LotUse(use.lot(), use.attempt()), use.units()));
        taken.forEach((use, units) -> {
            int less = units - lots.getOrDefault(use, List.of()).size();
            if (less > 0) {
                LotRows rows = new LotRows(dsl);
                rows.insert(rows.lot(use.lot()), Lot.Move.UNUSED, less, at, record, use.attempt(), null);
            }
        });
        lots.forEach((use, labels) -> {
            int more = labels.size() - taken.getOrDefault(use, 0);
            if (more > 0) {
                use(use, labels.get(0), more);
            }
        });
    }

    /** A lot is used whatever the books say: where they disagree, that is told. */
    private void use(LotUse use, String label, int units) {
        LotRows stock = new LotRows(dsl);
        Lot lot = stock.lot(use.lot());
        stock.insert(lot, Lot.Move.USED, -units, at, record, use.attempt(), null);
        if (lot.useBy() != null && lot.useBy().isBefore(LocalDate.ofInstant(at, site.zone()))) {
            raise(use.attempt(), Discrepancy.Kind.EXPIRED, label, null, lot.id());
        }
        if (lot.left() < units) {
            raise(use.attempt(), Discrepancy.Kind.STOCK_NONE, label, null, lot.id());
        }
    }

    /** What the record says as it was kept last. */
    private List<Use> linked() {
        return dsl.select(USE.ITEM_ID, USE.ATTEMPT_NO)
                .from(USE)
                .where(USE.SITE_ID.eq(site.no()), USE.ENCOUNTER_ID.eq(record), USE.BY_RECORD.isTrue())
                .orderBy(USE.ITEM_ID, USE.ATTEMPT_NO)
                .fetch(row -> new Use(row.value1(), row.value2()));
    }

    private void name(Use use, String label) {
        Traced traced = new KitQuery(dsl).item(use.item());
        Naming naming = Naming.of(traced, record, at);
        new KitStore(dsl).insert(traced, Move.NAMED, null, naming.to(), by(use), null);
        naming.odd().forEach(kind -> raise(use.attempt(), kind, label, use.item(), null));
    }

    /** Nobody can tell whether its pack was opened after all: it stays dirty until it is processed. */
    private void unname(Use use, boolean stillNamed) {
        Traced traced = new KitQuery(dsl).item(use.item());
        new KitStore(dsl).insert(traced, Move.UNNAMED, null, traced.life().state(), by(use), null);
        if (!stillNamed && traced.life().state() == State.USED) {
            raise(use.attempt(), Discrepancy.Kind.NO_LONGER_NAMED, traced.item().name(), use.item(), null);
        }
    }

    private Told by(Use use) {
        return new Told(at, null, null, null, null, null, null, null, null, null, record, use.attempt(), null);
    }

    /** What somebody has closed is not raised again by a further version that says the same. */
    private void raise(int attempt, Discrepancy.Kind kind, String told, @Nullable UUID item, @Nullable UUID lot) {
        boolean there = before.stream().anyMatch(one -> one.says(attempt, kind, told) && !one.lapsed());
        if (!there) {
            rows.raise(site, record, attempt, kind, told, item, lot);
        }
    }
}
