package airway.registry.kit;

import airway.registry.access.AuditNote;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.identity.HospitalNumbers;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeMap;
import java.util.UUID;
import java.util.stream.Collectors;
import org.jooq.DSLContext;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;

/** Looks back, and writes each look into the audit in the same transaction, whatever it found. */
@Component
@ConditionalOnWebApplication
class LookBacks {
    private final ActorTransactions transactions;
    private final HospitalNumbers numbers;
    private final Clock clock;

    LookBacks(ActorTransactions transactions, HospitalNumbers numbers, Clock clock) {
        this.transactions = transactions;
        this.numbers = numbers;
        this.clock = clock;
    }

    /**
     * Whom items touched.
     *
     * @param body {@code {site_id?, by, value?, from?, to?, cycles?, names?, reason}}
     * @throws Problem.NotAllowed if children are asked for without the grant
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid with every fault
     */
    LookBack look(JsonNode body) {
        return transactions.write(dsl -> {
            Site site = Sites.inBody(dsl, body);
            return look(dsl, site, LookBackForm.read(body, site));
        });
    }

    private LookBack look(DSLContext dsl, Site site, LookBack.Asked asked) {
        if (asked.names() && !Sites.may(dsl, site.no(), Right.SEE_TOUCHED)) {
            throw new Problem.NotAllowed(
                    "Which children these are sees a look-back reader, whose grant ends after three"
                            + " days. Ask without names, or ask an administrator for the grant.");
        }
        LookBackQuery query = new LookBackQuery(dsl, site);
        Instant now = clock.instant().truncatedTo(ChronoUnit.MICROS);
        List<UUID> asking = records(dsl, site, asked);
        List<LookBackQuery.Line> lines = query.lines(asked, asking);
        Map<UUID, Whereabouts> items = items(dsl, site, lines);
        List<LookBack.Use> uses = uses(query, asked, asking, lines, items);
        List<LookBack.Found> found = new ArrayList<>(found(lines, items));
        lots(new LotRows(dsl), site, asked, asking, uses, found);
        Set<UUID> touched =
                uses.stream().map(LookBack.Use::record).filter(Objects::nonNull).collect(Collectors.toSet());
        Map<UUID, String> names = asked.names() ? numbers.lookBack(dsl, site, touched, asked.reason()) : Map.of();
        note(dsl, site, asked, found.size(), uses.size());
        Instant from = asked.from() != null
                ? asked.from()
                : uses.stream()
                        .map(LookBack.Use::at)
                        .min(Comparator.naturalOrder())
                        .orElse(null);
        Instant to = asked.to() == null || asked.to().isAfter(now) ? now : asked.to();
        return new LookBack(
                site, asked, now, found, uses, query.coverage(from, to, items, asked.by() == LookBack.By.LOT), names);
    }

    /** What was used of a lot, or which lots a record used: the same relation from either end. */
    private static void lots(
            LotRows rows,
            Site site,
            LookBack.Asked asked,
            List<UUID> asking,
            List<LookBack.Use> uses,
            List<LookBack.Found> found) {
        boolean byLot = asked.by() == LookBack.By.LOT;
        if (!byLot && !asked.by().touched()) {
            return;
        }
        Map<UUID, Lot> known = rows.all(site).stream()
                .filter(lot -> !byLot || lot.lot().equals(asked.value()))
                .collect(Collectors.toMap(Lot::id, lot -> lot, (one, other) -> one, LinkedHashMap::new));
        List<LotRows.Use> told = byLot ? rows.usesOfLots(site, known.keySet()) : rows.usesOf(site, asking);
        Map<UUID, Integer> lines = new LinkedHashMap<>();
        for (LotRows.Use use : told) {
            if ((asked.from() != null && use.at().isBefore(asked.from()))
                    || (asked.to() != null && !use.at().isBefore(asked.to()))) {
                continue;
            }
            Lot lot = Objects.requireNonNull(known.get(use.lot()));
            lines.merge(lot.id(), 1, Integer::sum);
            uses.add(new LookBack.Use(
                    byLot ? LookBack.Side.AFTER : LookBack.Side.ITSELF,
                    lot.id(),
                    use.units(),
                    "Lot " + lot.lot(),
                    lot.kind().title(),
                    use.version(),
                    use.at(),
                    use.record(),
                    use.attempt(),
                    0,
                    use.late()));
        }
        known.values().stream()
                .filter(lot -> byLot || lines.containsKey(lot.id()))
                .forEach(lot -> found.add(new LookBack.Found(
                        lot.id(),
                        "Lot " + lot.lot(),
                        lot.kind().title(),
                        null,
                        null,
                        null,
                        lot.left(),
                        lines.getOrDefault(lot.id(), 0))));
    }

    private List<UUID> records(DSLContext dsl, Site site, LookBack.Asked asked) {
        String value = String.valueOf(asked.value());
        return switch (asked.by()) {
            case RECORD -> List.of(UUID.fromString(value));
            case PATIENT -> {
                try {
                    yield numbers.records(dsl, site, value, asked.reason());
                } catch (IllegalArgumentException e) {
                    throw new Problem.Invalid(Fault.at(
                            asked.reason().contains(value) ? "/reason" : "/value",
                            "number",
                            "Type the hospital number as it stands on the label, and leave it out of the reason."));
                }
            }
            default -> List.of();
        };
    }

    private static Map<UUID, Whereabouts> items(DSLContext dsl, Site site, List<LookBackQuery.Line> lines) {
        Set<UUID> found = lines.stream().map(LookBackQuery.Line::item).collect(Collectors.toSet());
        Map<UUID, Whereabouts> items = new LinkedHashMap<>();
        new TrolleyQuery(dsl)
                .whereabouts(site).stream()
                        .filter(item -> found.contains(item.id()))
                        .forEach(item -> items.put(item.id(), item));
        return items;
    }

    private static List<LookBack.Found> found(List<LookBackQuery.Line> lines, Map<UUID, Whereabouts> items) {
        Map<UUID, Long> number =
                lines.stream().collect(Collectors.groupingBy(LookBackQuery.Line::item, Collectors.counting()));
        return items.values().stream()
                .map(item -> new LookBack.Found(
                        item.id(),
                        item.name(),
                        item.kind().title(),
                        item.state(),
                        item.place(),
                        item.since(),
                        null,
                        number.getOrDefault(item.id(), 0L).intValue()))
                .toList();
    }

    /** Each use once on each side, with the fewest cycles in between; what was asked about itself is neither. */
    private static List<LookBack.Use> uses(
            LookBackQuery query,
            LookBack.Asked asked,
            List<UUID> asking,
            List<LookBackQuery.Line> lines,
            Map<UUID, Whereabouts> items) {
        List<LookBack.Use> uses = new ArrayList<>();
        Map<String, LookBack.Use> once = new TreeMap<>();
        for (LookBackQuery.Touch touch : query.touched(lines, asked)) {
            boolean before = !touch.after();
            if ((before && !asked.by().touched() && asked.by() != LookBack.By.LABEL)
                    || (touch.record() != null && asking.contains(touch.record()))) {
                continue;
            }
            LookBack.Use use = use(touch, before ? LookBack.Side.BEFORE : LookBack.Side.AFTER, items);
            once.merge(
                    use.item() + " " + use.line() + " " + use.side(),
                    use,
                    (one, other) -> one.cycles() <= other.cycles() ? one : other);
        }
        uses.addAll(once.values());
        if (asked.by().touched()) {
            query.uses(asking).forEach(touch -> uses.add(use(touch, LookBack.Side.ITSELF, items)));
        }
        uses.sort(Comparator.comparing(LookBack.Use::name)
                .thenComparing(LookBack.Use::at)
                .thenComparing(LookBack.Use::line)
                .thenComparing(LookBack.Use::side));
        return uses;
    }

    private static LookBack.Use use(LookBackQuery.Touch touch, LookBack.Side side, Map<UUID, Whereabouts> items) {
        Whereabouts item = Objects.requireNonNull(items.get(touch.item()));
        return new LookBack.Use(
                side,
                item.id(),
                null,
                item.name(),
                item.kind().title(),
                touch.version(),
                touch.at(),
                touch.record(),
                touch.attempt(),
                touch.cycles(),
                touch.uncertain());
    }

    /** Of a child the audit holds no number: that it was asked for, and by whom, is enough. */
    private static void note(DSLContext dsl, Site site, LookBack.Asked asked, int items, int uses) {
        Map<String, Object> detail = new LinkedHashMap<>();
        detail.put("by", asked.by().code());
        if (asked.value() != null && asked.by() != LookBack.By.PATIENT) {
            detail.put("value", asked.value());
        }
        detail.put("names", asked.names() ? "yes" : "no");
        detail.put("items", items);
        detail.put("uses", uses);
        AuditNote.of("found", "look_back")
                .unit(site.no())
                .reason(asked.reason())
                .detail(detail)
                .write(dsl);
    }

    /** What may be asked from, by whoever asks: children only with the grant. */
    List<LookBack.By> offered(Site site) {
        boolean names = names(site);
        return Arrays.stream(LookBack.By.values())
                .filter(by -> names || by != LookBack.By.PATIENT)
                .toList();
    }

    /** Whether hospital numbers may be shown to whoever asks. */
    boolean names(Site site) {
        return transactions.read(dsl -> Sites.may(dsl, site.no(), Right.SEE_TOUCHED));
    }
}
