package airway.registry.kit;

import static airway.sql.generated.kit.Tables.USE;

import airway.registry.access.Site;
import java.time.Instant;
import java.time.LocalDate;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;

/**
 * What a record says of the kit, taken over into the logs of the items in the transaction that keeps the record. Said anew
 * by a later version, only what differs is done: what is named now is used, what is no longer named is unlinked and stays
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

    private void take(List<Attempt> attempts) {
        Map<Use, String> named = new LinkedHashMap<>();
        Set<Said> said = new LinkedHashSet<>();
        ItemQuery query = new ItemQuery(dsl);
        for (Attempt attempt : attempts) {
            for (String label : attempt.labels()) {
                Optional<UUID> item = query.find(site, label.replace('\u241d', Scan.SEPARATOR), today);
                item.ifPresentOrElse(
                        id -> named.putIfAbsent(new Use(id, attempt.number()), label),
                        () -> said.add(new Said(attempt.number(), Discrepancy.Kind.ITEM_UNKNOWN, label)));
            }
            attempt.issues()
                    .forEach(issue -> said.add(new Said(attempt.number(), Discrepancy.Kind.KIT_PROBLEM, issue)));
            if (attempt.recording()) {
                said.add(new Said(attempt.number(), Discrepancy.Kind.RECORDING, "yes"));
            }
        }
        List<Use> linked = dsl.select(USE.ITEM_ID, USE.ATTEMPT_NO)
                .from(USE)
                .where(USE.SITE_ID.eq(site.no()), USE.ENCOUNTER_ID.eq(record), USE.BY_RECORD.isTrue())
                .orderBy(USE.ITEM_ID, USE.ATTEMPT_NO)
                .fetch(row -> new Use(row.value1(), row.value2()));
        named.forEach((use, label) -> {
            if (!linked.contains(use)) {
                name(use, label);
            }
        });
        Set<UUID> still = new LinkedHashSet<>();
        named.keySet().forEach(use -> still.add(use.item()));
        linked.stream().filter(use -> !named.containsKey(use)).forEach(use -> unname(use, still.contains(use.item())));
        for (Discrepancy open : before) {
            boolean says = open.kind().ofAUse()
                    ? open.item() != null && named.containsKey(new Use(open.item(), open.attempt()))
                    : open.kind() == Discrepancy.Kind.NO_LONGER_NAMED
                            ? open.item() != null && !still.contains(open.item())
                            : said.contains(new Said(open.attempt(), open.kind(), open.told()));
            if (open.end() == null && !says) {
                rows.end(open, null);
            }
        }
        said.forEach(one -> raise(one.attempt(), one.kind(), one.told(), null));
    }

    private void name(Use use, String label) {
        Traced traced = new KitQuery(dsl).item(use.item());
        Naming naming = Naming.of(traced, record, at);
        new KitStore(dsl).insert(traced, Move.NAMED, null, naming.to(), by(use), null);
        naming.odd().forEach(kind -> raise(use.attempt(), kind, label, use.item()));
    }

    /** Nobody can tell whether its pack was opened after all: it stays dirty until it is processed. */
    private void unname(Use use, boolean stillNamed) {
        Traced traced = new KitQuery(dsl).item(use.item());
        new KitStore(dsl).insert(traced, Move.UNNAMED, null, traced.life().state(), by(use), null);
        if (!stillNamed && traced.life().state() == State.USED) {
            raise(use.attempt(), Discrepancy.Kind.NO_LONGER_NAMED, traced.item().name(), use.item());
        }
    }

    private Told by(Use use) {
        return new Told(at, null, null, null, null, null, null, null, null, null, record, use.attempt(), null);
    }

    /** What somebody has closed is not raised again by a further version that says the same. */
    private void raise(int attempt, Discrepancy.Kind kind, String told, @Nullable UUID item) {
        boolean there = before.stream().anyMatch(one -> one.says(attempt, kind, told) && !one.lapsed());
        if (!there) {
            rows.raise(site, record, attempt, kind, told, item);
        }
    }
}
