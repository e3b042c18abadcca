package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.Instant;
import java.time.YearMonth;
import java.util.List;
import java.util.Optional;
import java.util.UUID;
import org.jooq.DSLContext;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;

/** The averages that units keep for their charts. Nothing is overwritten: keeping anew and withdrawing add a version. */
@Component
class KeptAverages {
    private final ActorTransactions transactions;
    private final Clock clock;

    KeptAverages(ActorTransactions transactions, Clock clock) {
        this.transactions = transactions;
        this.clock = clock;
    }

    /** Those of a unit that stand, or that were withdrawn. */
    List<KeptAverage> all(Site site, boolean withdrawn) {
        return transactions.read(dsl -> new KeptAverageQuery(dsl).all(site, withdrawn));
    }

    /** The version that counts for a chart of one unit, also a withdrawn one. */
    Optional<KeptAverage> newest(ChartRequest about) {
        return transactions.read(dsl -> new KeptAverageQuery(dsl).newest(about));
    }

    /**
     * The version that counts.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    KeptAverage read(UUID id) {
        return transactions.read(dsl -> newest(dsl, id));
    }

    /**
     * All versions, the first one first.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    List<KeptAverage> versions(UUID id) {
        return transactions.read(dsl -> versions(dsl, id));
    }

    /**
     * Keeps the average of a chart as it stands now.
     *
     * @param body {@code {site_id?, measure, scheme?, by?, filters?, from, to, reason}}
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid with every fault
     * @throws Problem.Conflict if the unit keeps one for this chart already
     */
    KeptAverage keep(JsonNode body) {
        return transactions.write(dsl -> {
            KeptAverageForm.Asked asked = KeptAverageForm.read(body, Sites.inBody(dsl, body));
            KeptAverageQuery query = new KeptAverageQuery(dsl);
            query.hold(asked.about().cohort().sites().get(0));
            Optional<KeptAverage> last = query.newest(asked.about());
            if (last.filter(kept -> !kept.withdrawn()).isPresent()) {
                throw new Problem.Conflict(
                        "The unit keeps an average for this chart already.",
                        List.of(Fault.at("/measure", "average.there", "Keep that one anew, or withdraw it first.")));
            }
            UUID id = last.map(KeptAverage::id).orElseGet(UUID::randomUUID);
            insert(dsl, id, last.map(KeptAverage::version).orElse(0) + 1, asked);
            return newest(dsl, id);
        });
    }

    /**
     * Keeps another period, or the same one as it stands now; the earlier versions stay readable.
     *
     * @param seen the version that was read
     * @param body {@code {from, to, reason}}
     * @throws Problem.Stale if another version counts by now
     * @throws Problem as {@link #keep}
     */
    KeptAverage anew(UUID id, int seen, JsonNode body) {
        return transactions.write(dsl -> {
            KeptAverage last = held(dsl, id);
            if (last.version() != seen) {
                throw new Problem.Stale("\"v" + last.version() + "\"");
            }
            standing(last);
            insert(dsl, id, last.version() + 1, KeptAverageForm.anew(body, last));
            return newest(dsl, id);
        });
    }

    /**
     * Withdraws an average: charts are judged by their own points again, and it stays readable.
     *
     * @param body {@code {reason}}
     * @throws Problem.Conflict if it was withdrawn before
     * @throws Problem.Invalid without a reason
     */
    KeptAverage withdraw(UUID id, JsonNode body) {
        String reason = KeptAverageForm.withdrawal(body);
        return transactions.write(dsl -> {
            KeptAverage last = held(dsl, id);
            standing(last);
            new KeptAverageQuery(dsl).withdraw(last, reason);
            return newest(dsl, id);
        });
    }

    private void insert(DSLContext dsl, UUID id, int version, KeptAverageForm.Asked asked) {
        ChartRequest about = asked.about();
        Instant now = clock.instant();
        KeptRecords.Taken taken = new KeptRecords(dsl, about, now).take();
        KeptAverageForm.check(about, taken.points(), YearMonth.now(clock.withZone(Points.zone(about.cohort()))));
        new KeptAverageQuery(dsl).insert(id, version, about, taken, asked.reason());
    }

    private static KeptAverage held(DSLContext dsl, UUID id) {
        new KeptAverageQuery(dsl).hold(newest(dsl, id).site());
        return newest(dsl, id);
    }

    private static void standing(KeptAverage last) {
        if (last.withdrawn()) {
            throw new Problem.Conflict("This average was withdrawn; keep one for its chart.", List.of());
        }
    }

    private static KeptAverage newest(DSLContext dsl, UUID id) {
        List<KeptAverage> versions = versions(dsl, id);
        return versions.get(versions.size() - 1);
    }

    private static List<KeptAverage> versions(DSLContext dsl, UUID id) {
        List<KeptAverage> versions = new KeptAverageQuery(dsl).versions(id);
        if (versions.isEmpty()) {
            throw new Problem.Missing("kept average");
        }
        return versions;
    }
}
