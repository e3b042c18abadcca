package airway.registry.charts;

import airway.registry.cohort.Measure;
import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.interval.DifferenceInterval;
import airway.stats.power.TwoPeriods;
import airway.stats.sequential.AfterSignal;
import airway.stats.sequential.BernoulliCusum;
import airway.stats.sequential.CusumDesign;
import airway.stats.sequential.Hypotheses;
import airway.stats.sequential.Outcome;
import java.time.YearMonth;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * What a small unit can see: every intubation by itself, the last twelve months beside the twelve before, a running count,
 * and how large a change would show at all. Source: the statistical methods of the registry, section 14.
 *
 * @param until the last month of the twelve
 * @param cases of both stretches in order, those that do not count too
 * @param gap the last twelve months less the twelve before, or null where it cannot be computed
 * @param watch the running count, or why there is none
 * @param sees the change that two such stretches would show, or null without a case in one
 */
record OneByOne(
        Question question,
        YearMonth until,
        List<Case> cases,
        Counted before,
        Counted last,
        @Nullable Estimate gap,
        Answer<Watch> watch,
        TwoPeriods.@Nullable SmallestChange sees) {
    /** Months in a stretch. */
    static final int MONTHS = 12;

    /** The odds of the unwanted outcome that the running count looks for. Source: as above. */
    static final double ODDS = 2;

    /** How often the change that is told would show. */
    static final double POWER = 0.8;

    /** Fewer of either outcome in the year before and there is no rate to watch against (common practice, no source). */
    static final int FEWEST_OF_EACH = 5;

    /**
     * One intubation.
     *
     * @param answer 1 yes, 0 no, -1 not known, null outside the measure
     * @param second whether the second attempt succeeded, where the first did not
     * @param nominal whether its date was made up for order only
     */
    record Case(YearMonth month, @Nullable Short answer, boolean second, boolean nominal) {
        boolean counts() {
            return answer != null && answer >= 0;
        }

        boolean shown() {
            return answer != null;
        }
    }

    /**
     * The running count over the last twelve months.
     *
     * @param cases those it runs over: a gap where the answer is not known
     * @param baseline unwanted outcomes in the twelve months before, by which it is set
     */
    record Watch(BernoulliCusum cusum, List<Case> cases, Proportion baseline) {
        CusumDesign design() {
            return cusum.design();
        }

        Optional<Case> signal() {
            return cusum.path().firstSignal().isPresent()
                    ? Optional.of(cases.get(cusum.path().firstSignal().getAsInt() - 1))
                    : Optional.empty();
        }
    }

    static OneByOne of(Question question, YearMonth until, List<Case> cases) {
        YearMonth turn = until.minusMonths(MONTHS - 1);
        List<Case> earlier =
                cases.stream().filter(one -> one.month().isBefore(turn)).toList();
        List<Case> later =
                cases.stream().filter(one -> !one.month().isBefore(turn)).toList();
        Counted before = counted(earlier);
        Counted last = counted(later);
        return new OneByOne(
                question,
                until,
                cases,
                before,
                last,
                DifferenceInterval.NEWCOMBE
                        .of(proportion(last), proportion(before), Confidence.DEFAULT)
                        .toOptional()
                        .orElse(null),
                watch(question.measure(), before, later),
                before.n() == 0 || last.n() == 0
                        ? null
                        : new TwoPeriods(before.n(), last.n(), (double) before.x() / before.n(), Confidence.DEFAULT)
                                .smallestChange(POWER));
    }

    private static Proportion proportion(Counted counted) {
        return new Proportion(counted.x(), counted.n());
    }

    private static Counted counted(List<Case> cases) {
        long n = cases.stream().filter(Case::counts).count();
        long x = cases.stream()
                .filter(one -> one.answer() != null && one.answer() == 1)
                .count();
        long unknown = cases.stream()
                .filter(one -> one.answer() != null && one.answer() < 0)
                .count();
        long nominal = cases.stream().filter(Case::nominal).count();
        return new Counted(x, n, cases.size() - n, unknown, nominal);
    }

    private static Answer<Watch> watch(Measure measure, Counted before, List<Case> later) {
        if (measure.direction() == Measure.Direction.NONE) {
            return Answer.refused(Reason.INVALID_INPUT);
        }
        int unwanted = measure.unwanted();
        Proportion failures =
                unwanted == 1 ? proportion(before) : proportion(before).complement();
        if (failures.x() < FEWEST_OF_EACH || failures.failures() < FEWEST_OF_EACH) {
            return Answer.refused(Reason.TOO_FEW_OBSERVATIONS);
        }
        List<Case> watched = later.stream().filter(Case::shown).toList();
        List<Outcome> outcomes =
                watched.stream().map(one -> outcome(one, unwanted)).toList();
        return Hypotheses.fromBaseline(failures, ODDS)
                .map(hypotheses -> CusumDesign.forVolume(hypotheses, (double) failures.n()))
                .then(design -> BernoulliCusum.of(outcomes, design, AfterSignal.RESTART))
                .map(cusum -> new Watch(cusum, watched, failures));
    }

    /** How a case ended for a running count. */
    static Outcome outcome(Case one, int unwanted) {
        Short answer = one.answer();
        if (answer == null || answer < 0) {
            return Outcome.UNKNOWN;
        }
        return answer == unwanted ? Outcome.FAILURE : Outcome.SUCCESS;
    }

    /** Whether an answer is the one that is drawn in the upper row. */
    boolean upper(Case one) {
        Short answer = one.answer();
        return answer != null
                && answer >= 0
                && (question.measure().direction() == Measure.Direction.LOWER ? answer == 0 : answer == 1);
    }

    /** A month of the two years: what was counted, in words. */
    public record Month(String month, String count, String leftOut) {}

    /** Every month that has a case, in order. */
    List<Month> months() {
        Map<YearMonth, List<Case>> months =
                cases.stream().collect(Collectors.groupingBy(Case::month, TreeMap::new, Collectors.toList()));
        return months.entrySet().stream()
                .map(month -> {
                    Counted counted = counted(month.getValue());
                    return new Month(
                            OneByOneWords.month(month.getKey()),
                            Percent.count(counted),
                            counted.unknown() == 0
                                    ? String.valueOf(counted.leftOut())
                                    : counted.leftOut() + " (" + counted.unknown() + " not known)");
                })
                .toList();
    }

    /** Whether dates made up for order only stand behind some of it. */
    boolean nominal() {
        return last.plus(before).nominal() > 0;
    }

    /** Where the twelve months begin. */
    YearMonth turn() {
        return until.minusMonths(MONTHS - 1);
    }
}
