package airway.registry.aims;

import static airway.sql.generated.aims.Tables.VERSION;

import airway.registry.access.Site;
import airway.registry.cohort.Measure;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jooq.Record;
import org.jooq.impl.DSL;
import org.springframework.stereotype.Component;

/** The aims of the units: writing one anew adds a version. */
@Component
public class Aims {
    /** So many measures of the work, and so many of what may get worse: more would hide the outcome. */
    public static final int MOST = 3;

    static final int LONGEST = 200;

    private final ActorTransactions transactions;

    Aims(ActorTransactions transactions) {
        this.transactions = transactions;
    }

    /** An aim as it was typed: measures by their ids, right or wrong. */
    public record Typed(String sentence, String outcome, List<String> process, List<String> balancing) {}

    /** Every version of the aim of a unit, the newest first; empty while there is none. */
    public List<Aim> of(Site site) {
        return transactions.read(dsl -> versions(dsl, site));
    }

    /** The same inside a running transaction. */
    public static List<Aim> of(DSLContext dsl, Site site) {
        return versions(dsl, site);
    }

    /**
     * Writes the aim of a unit anew.
     *
     * @param seen the version that was read; 0 for none
     * @throws Problem.Invalid with every fault, pointers by field
     * @throws Problem.Stale if another version counts by now
     */
    public Aim write(Site site, int seen, Typed typed) {
        List<Fault> faults = new ArrayList<>();
        String sentence = typed.sentence().strip();
        if (sentence.isEmpty()) {
            faults.add(Fault.at("/sentence", "missing", "Write what is to become how much better, and by when."));
        } else if (sentence.length() > LONGEST || sentence.chars().anyMatch(Character::isISOControl)) {
            faults.add(Fault.at("/sentence", "length", "Write one sentence of at most " + LONGEST + " characters."));
        }
        Measure outcome = Measure.named(typed.outcome())
                .filter(measure -> !measure.ofKit())
                .orElse(null);
        if (outcome == null) {
            faults.add(Fault.at("/outcome", "missing", "Choose the measure that is to change."));
        }
        Set<Measure> used = new HashSet<>();
        if (outcome != null) {
            used.add(outcome);
        }
        List<Measure> process = measures("/process", typed.process(), used, faults);
        List<Measure> balancing = measures("/balancing", typed.balancing(), used, faults);
        if (!faults.isEmpty() || outcome == null) {
            throw new Problem.Invalid(faults);
        }
        return transactions.write(dsl -> {
            dsl.execute("select pg_advisory_xact_lock(hashtextextended({0}, 0))", DSL.val("aim " + site.no()));
            Optional<Record> last = last(dsl, site);
            int version = last.map(row -> row.get(VERSION.VERSION_)).orElse(0);
            if (version != seen) {
                throw new Problem.Stale("\"v" + version + "\"");
            }
            dsl.insertInto(VERSION)
                    .set(VERSION.SITE_ID, site.no())
                    .set(
                            VERSION.AIM_ID,
                            last.map(row -> row.get(VERSION.AIM_ID)).orElseGet(UUID::randomUUID))
                    .set(VERSION.VERSION_, version + 1)
                    .set(VERSION.STATUS, version == 0 ? "final" : "amended")
                    .set(VERSION.SENTENCE, sentence)
                    .set(VERSION.OUTCOME, outcome.id())
                    .set(VERSION.PROCESS, ids(process))
                    .set(VERSION.BALANCING, ids(balancing))
                    .execute();
            return versions(dsl, site).get(0);
        });
    }

    private static List<Measure> measures(String field, List<String> ids, Set<Measure> used, List<Fault> faults) {
        List<Measure> measures = new ArrayList<>();
        for (String id : ids) {
            Measure measure = Measure.named(id).filter(known -> !known.ofKit()).orElse(null);
            if (measure == null) {
                faults.add(Fault.at(field, "code", "Choose measures of the list."));
            } else if (!used.add(measure)) {
                faults.add(Fault.at(field, "twice", "Choose every measure once: " + measure.title() + " is there."));
            } else {
                measures.add(measure);
            }
        }
        if (ids.size() > MOST) {
            faults.add(Fault.at(field, "many", "Choose at most " + MOST + "."));
        }
        return measures;
    }

    private static String[] ids(List<Measure> measures) {
        return measures.stream().map(Measure::id).toArray(String[]::new);
    }

    private static Optional<Record> last(DSLContext dsl, Site site) {
        return dsl.selectFrom(VERSION)
                .where(VERSION.SITE_ID.eq(site.no()))
                .orderBy(VERSION.VERSION_.desc())
                .limit(1)
                .fetchOptional()
                .map(row -> row);
    }

    private static List<Aim> versions(DSLContext dsl, Site site) {
        return dsl.selectFrom(VERSION)
                .where(VERSION.SITE_ID.eq(site.no()))
                .orderBy(VERSION.VERSION_.desc())
                .fetch(row -> new Aim(
                        row.get(VERSION.VERSION_),
                        row.get(VERSION.SENTENCE),
                        Measure.named(row.get(VERSION.OUTCOME)).orElseThrow(),
                        named(row.get(VERSION.PROCESS)),
                        named(row.get(VERSION.BALANCING)),
                        row.get(VERSION.WRITTEN_AT).toInstant()));
    }

    private static List<Measure> named(String[] ids) {
        return Arrays.stream(ids).map(id -> Measure.named(id).orElseThrow()).toList();
    }
}
