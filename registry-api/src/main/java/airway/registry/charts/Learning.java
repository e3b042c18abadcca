package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.charts.OwnCurve.Levels;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortForm;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.springframework.stereotype.Component;

/** First attempts by who made them: one's own for oneself, everybody's in bands of several people. */
@Component
class Learning {
    /** What can be learned about: other measures are not the operator's alone. */
    static final List<Measure> MEASURES = List.of(Measure.FPS, Measure.FPS_STRICT, Measure.FPS_CLEAN);

    private static final Set<String> OWN = Set.of("measure", "acceptable", "unacceptable");

    private final ActorTransactions transactions;
    private final Sites sites;
    private final Clock clock;

    Learning(ActorTransactions transactions, Sites sites, Clock clock) {
        this.transactions = transactions;
        this.sites = sites;
        this.clock = clock;
    }

    /**
     * The own first attempts of the one who asks.
     *
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    OwnCurve own(Map<String, List<String>> parameters) {
        List<Fault> faults = new ArrayList<>();
        Levels levels = levels(parameters, faults);
        Question question = question(parameters, faults);
        Cohort cohort = question.cohort();
        Cohort anySetup = new Cohort(cohort.sites(), cohort.from(), cohort.to(), cohort.filters(), Set.of());
        List<OwnCurve.Own> all =
                transactions.read(dsl -> new CountQuery(dsl, question.measure(), question.scheme(), anySetup).own());
        if (all.size() == CountQuery.MOST_CASES) {
            throw new Problem.Malformed(Fault.parameter(
                    "from",
                    "cases.many",
                    "That is " + CountQuery.MOST_CASES + " first attempts or more: begin later."));
        }
        YearMonth to = cohort.to();
        return OwnCurve.of(
                question,
                levels,
                to == null ? YearMonth.now(clock.withZone(Points.zone(cohort))) : to,
                clock.instant(),
                all);
    }

    /**
     * The first attempts of units in bands.
     *
     * @throws Problem.Malformed with every parameter that cannot be taken
     */
    Bands bands(Map<String, List<String>> parameters) {
        List<Fault> faults = new ArrayList<>();
        levels(parameters, faults);
        Question question = question(parameters, faults);
        return transactions.read(dsl -> {
            CountQuery query = new CountQuery(dsl, question.measure(), question.scheme(), question.cohort());
            Map<Stratum, List<Bands.Band>> bands = new LinkedHashMap<>();
            Bands.BY.forEach(stratum -> bands.put(stratum, query.bands(stratum)));
            return new Bands(question, bands);
        });
    }

    private Question question(Map<String, List<String>> parameters, List<Fault> faults) {
        Measure measure = Measure.named(Question.first(parameters, "measure", Measure.FPS.id()))
                .filter(MEASURES::contains)
                .orElse(null);
        if (measure == null) {
            faults.add(Fault.parameter(
                    "measure",
                    "measure.not_learned",
                    "Send " + MEASURES.stream().map(Measure::id).collect(Collectors.joining(", ")) + "."));
        }
        OWN.stream()
                .filter(name -> parameters.getOrDefault(name, List.of()).size() > 1)
                .forEach(name -> faults.add(Fault.parameter(name, "parameter.repeated", "Send this once.")));
        List<Site> mine = sites.all();
        Cohort cohort = CohortForm.read(parameters, OWN, mine, faults);
        return new Question(measure == null ? Measure.FPS : measure, null, cohort);
    }

    /** The levels asked for: odds of failure at least 1.5 times apart, or they take thousands of cases to tell apart. */
    private static Levels levels(Map<String, List<String>> parameters, List<Fault> faults) {
        double acceptable = share(parameters, "acceptable", Levels.USUAL.acceptable(), faults);
        double unacceptable = share(parameters, "unacceptable", Levels.USUAL.unacceptable(), faults);
        double odds = unacceptable / (1 - unacceptable) * (1 - acceptable) / acceptable;
        if (faults.isEmpty() && !(odds >= 1.5)) {
            faults.add(Fault.parameter(
                    "unacceptable",
                    "levels.near",
                    "Let the level that is not enough fail clearly more often than the level aimed for: odds at least 1.5"
                            + " times as large."));
        }
        return faults.isEmpty() ? new Levels(acceptable, unacceptable) : Levels.USUAL;
    }

    private static double share(
            Map<String, List<String>> parameters, String name, double otherwise, List<Fault> faults) {
        String given = Question.first(parameters, name, String.valueOf(otherwise));
        double share = given.matches("0?\\.[0-9]{1,4}") ? Double.parseDouble(given) : Double.NaN;
        if (share >= 0.01 && share <= 0.9) {
            return share;
        }
        faults.add(Fault.parameter(
                name, "share.form", "Send a share of first attempts that fail from 0.01 to 0.9, as 0.3."));
        return otherwise;
    }
}
