package airway.registry.kit;

import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;

/**
 * The trolleys of the units and their checks. A check is a line in the log of its trolley: never changed, put right by a
 * later line. Whoever checks says which line they have seen last; of two who check at once, one is told how it stands.
 */
@Component
class Trolleys {
    private static final int MOST_LINES = 50;

    private final ActorTransactions transactions;
    private final Clock clock;

    Trolleys(ActorTransactions transactions, Clock clock) {
        this.transactions = transactions;
        this.clock = clock;
    }

    /**
     * What one looks at in the morning, all of one moment.
     *
     * @param toLookInto how many lines of records are open
     */
    record Morning(
            List<Standing> trolleys,
            List<Whereabouts> items,
            List<Kind> kinds,
            List<Lot> lots,
            int toLookInto,
            Instant at) {}

    /**
     * A trolley with the last lines of its log.
     *
     * @param log the newest first
     * @param corrected lines that another stands for, or takes back
     */
    record Whole(Standing standing, List<Check> log, Set<Integer> corrected) {}

    Morning morning(Site site) {
        return transactions.read(dsl -> {
            TrolleyQuery query = new TrolleyQuery(dsl);
            Instant now = now();
            return new Morning(
                    query.standings(site, now),
                    query.whereabouts(site),
                    new KitQuery(dsl).kinds(site),
                    new LotRows(dsl).all(site),
                    new DiscrepancyRows(dsl).countOpen(site),
                    now);
        });
    }

    /** How the trolleys of a unit stand; those not in use left out. */
    List<Standing> standings(Site site) {
        return transactions.read(dsl -> new TrolleyQuery(dsl).standings(site, now()));
    }

    /** The trolleys of a unit that are not in use. */
    List<Trolley> notInUse(Site site) {
        return transactions.read(dsl -> new TrolleyQuery(dsl)
                .trolleys(site).stream().filter(trolley -> !trolley.inUse()).toList());
    }

    /**
     * A trolley.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    Whole trolley(UUID id) {
        return transactions.read(dsl -> whole(new TrolleyQuery(dsl), id));
    }

    private Whole whole(TrolleyQuery query, UUID id) {
        Trolley trolley = query.trolley(id);
        return new Whole(query.standing(trolley, now()), query.log(trolley, MOST_LINES), query.corrected(trolley));
    }

    /**
     * A line of the log of a trolley.
     *
     * @throws Problem.Missing if there is none
     */
    Check check(UUID id, int version) {
        return transactions.read(dsl -> {
            TrolleyQuery query = new TrolleyQuery(dsl);
            return query.check(query.trolley(id), version);
        });
    }

    /**
     * Adds a trolley.
     *
     * @param body {@code {site_id?, title, due_at, check_days, full_days, light?, battery_least?, recorder?, slots}}
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid with every fault
     * @throws Problem.Conflict if the unit has a trolley of this title
     */
    Standing add(JsonNode body) {
        return transactions.write(dsl -> {
            Site site = Sites.inBody(dsl, body);
            new KitStore(dsl).hold(site);
            return kept(dsl, TrolleyForm.read(body, site, null, new KitQuery(dsl).kinds(site)));
        });
    }

    /**
     * Makes the next version of a trolley.
     *
     * @param seen the version that the one who amends has read
     * @throws Problem.Stale if another version counts by now
     * @throws Problem as {@link #add}
     */
    Standing amend(UUID id, int seen, JsonNode body) {
        return transactions.write(dsl -> {
            TrolleyQuery query = new TrolleyQuery(dsl);
            Site site = query.trolley(id).site();
            new KitStore(dsl).hold(site);
            Trolley before = query.trolley(id);
            if (before.version() != seen) {
                throw new Problem.Stale("\"v" + before.version() + "\"");
            }
            return kept(dsl, TrolleyForm.read(body, site, before, new KitQuery(dsl).kinds(site)));
        });
    }

    private Standing kept(DSLContext dsl, Trolley trolley) {
        TrolleyQuery query = new TrolleyQuery(dsl);
        if (query.trolleys(trolley.site()).stream()
                .anyMatch(other ->
                        !other.id().equals(trolley.id()) && other.title().equalsIgnoreCase(trolley.title()))) {
            throw new Problem.Conflict(
                    "The unit has a trolley of this title already.",
                    List.of(Fault.at("/title", "trolley.there", "Give it a title of its own.")));
        }
        new TrolleyStore(dsl).insert(trolley);
        return query.standing(trolley, now());
    }

    /**
     * Keeps a check, a correction of one, or that a trolley was opened: that is never refused to anybody at the bedside.
     *
     * @param body {@code {kind, seen, at?, ...}} with what the trolley asks
     * @throws Problem.TrolleyChecked if somebody wrote into its log since
     * @throws Problem.NotAllowed if it is another's to do
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid with every fault
     */
    Whole check(UUID id, JsonNode body) {
        return transactions.write(dsl -> {
            TrolleyQuery query = new TrolleyQuery(dsl);
            new KitStore(dsl).hold(query.trolley(id).site());
            Trolley trolley = query.trolley(id);
            Standing standing = query.standing(trolley, now());
            JsonNode corrects = body.path("corrects");
            Check earlier =
                    corrects.canConvertToInt() && corrects.isInt() ? query.check(trolley, corrects.intValue()) : null;
            CheckForm.Asked asked =
                    CheckForm.read(body, trolley, earlier == null ? trolley.slots() : earlier.slots(), now());
            Check.Found found = asked.found();
            may(dsl, trolley, found.kind() == Check.Kind.OPENED && earlier == null ? Right.USE_KIT : Right.KEEP_KIT);
            seen(standing, asked.seen());
            if (earlier != null) {
                standing(query, trolley, earlier, "/corrects");
                if (earlier.found().kind() != found.kind()) {
                    throw new Problem.Invalid(Fault.at(
                            "/kind",
                            "kind.other",
                            "It was another kind of check: take it back, then enter what was done."));
                }
            } else if (found.kind() == Check.Kind.SHORT && !standing.shortCheck()) {
                throw new Problem.Invalid(
                        Fault.at("/kind", "seal.not_whole", "There is no whole seal to go by: look at every drawer."));
            }
            if (found.sealApplied() != null
                    && query.sealUsed(trolley.site(), found.sealApplied(), trolley.id(), asked.corrects())) {
                throw new Problem.Invalid(Fault.at(
                        "/seal_applied",
                        "seal.used",
                        "A seal of this number was put on before: read it again, or take another one."));
            }
            new TrolleyStore(dsl)
                    .insert(
                            trolley,
                            standing.seen() + 1,
                            earlier == null ? "final" : "amended",
                            asked.corrects(),
                            earlier == null ? trolley.version() : earlier.layout(),
                            found,
                            asked.reason());
            return whole(query, id);
        });
    }

    /**
     * Takes a line back that should not be there; it stays readable.
     *
     * @param body {@code {seen, reason}}
     * @throws Problem as {@link #check(UUID, JsonNode)}
     */
    Whole takeBack(UUID id, int version, JsonNode body) {
        return transactions.write(dsl -> {
            TrolleyQuery query = new TrolleyQuery(dsl);
            new KitStore(dsl).hold(query.trolley(id).site());
            Trolley trolley = query.trolley(id);
            Standing standing = query.standing(trolley, now());
            Check earlier = query.check(trolley, version);
            CheckForm.Asked asked = CheckForm.withdrawal(body, earlier);
            seen(standing, asked.seen());
            standing(query, trolley, earlier, "/version");
            new TrolleyStore(dsl)
                    .insert(
                            trolley,
                            standing.seen() + 1,
                            "withdrawn",
                            version,
                            earlier.layout(),
                            asked.found(),
                            Objects.requireNonNull(asked.reason()));
            return whole(query, id);
        });
    }

    /** Only a line that counts can be put right or taken back. */
    private static void standing(TrolleyQuery query, Trolley trolley, Check earlier, String pointer) {
        if (earlier.status().equals("withdrawn") || query.corrected(trolley).contains(earlier.version())) {
            throw new Problem.Conflict(
                    "This line does not count any more.",
                    List.of(Fault.at(
                            pointer, "check.corrected", "Put right the line that stands for it, not this one.")));
        }
    }

    private static void seen(Standing standing, @Nullable Integer seen) {
        if (seen != null && seen != standing.seen()) {
            throw new Problem.TrolleyChecked(standing.word().code(), standing.sentence(), standing.seen());
        }
    }

    private static void may(DSLContext dsl, Trolley trolley, Right right) {
        if (!Sites.may(dsl, trolley.site().no(), right)) {
            throw new Problem.NotAllowed("This is done by somebody with another role: " + right.words() + ".");
        }
    }

    /** The database keeps microseconds. */
    Instant now() {
        return clock.instant().truncatedTo(ChronoUnit.MICROS);
    }
}
