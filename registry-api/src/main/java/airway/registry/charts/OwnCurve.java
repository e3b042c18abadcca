package airway.registry.charts;

import airway.registry.cohort.Measure;
import airway.registry.dictionary.Code;
import airway.stats.Answer;
import airway.stats.sequential.LcCusum;
import java.time.Instant;
import java.time.YearMonth;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.SortedMap;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * How somebody's own first attempts went, one after the other: for the eyes of this person alone. Source: the statistical
 * methods of the registry, section 7.
 *
 * @param setups the set-ups used, with what was counted; before any choice of one of them
 * @param cases the first attempts in order, those that do not count too
 * @param counted of these
 * @param strip the last two years of them, one by one
 * @param run the same over all the time, a point each quarter, about the median
 * @param curve the learning curve, or why there is none
 */
record OwnCurve(
        Question question,
        Levels levels,
        Map<Code, Counted> setups,
        List<OneByOne.Case> cases,
        Counted counted,
        OneByOne strip,
        Chart run,
        Answer<LcCusum> curve) {
    /** Within so many cases a false signal is as rare as {@link #FALSE}; our own decision, no source. */
    static final int WITHIN = 100;

    /** Somebody at the level that is not enough is shown to be at the level aimed for in one of ten. */
    static final double FALSE = 0.1;

    private static final Grouping QUARTER = new Grouping(Grouping.Span.QUARTER, 0);

    /**
     * The two levels that are told apart, as shares of first attempts that fail.
     *
     * @param acceptable of who is at the level aimed for
     * @param unacceptable of who is not; more than the other
     */
    record Levels(double acceptable, double unacceptable) {
        /**
         * Unless others are chosen: attendings and fellows 70 to 72 % first passes, residents 37 % in 15 children's units (Sanders
         * 2013, from the benchmarks of the registry); that one half is not enough is our own decision.
         */
        static final Levels USUAL = new Levels(0.3, 0.5);
    }

    /** One first attempt and its set-up, which is "not answered" where that is blank. */
    record Own(Code setup, OneByOne.Case one) {}

    /**
     * @param all first attempts with any set-up, in order; of these the set-ups of the question are drawn
     * @param until the last month of the strip
     */
    static OwnCurve of(Question question, Levels levels, YearMonth until, Instant now, List<Own> all) {
        Map<Code, Counted> setups = new LinkedHashMap<>();
        all.forEach(own -> setups.merge(own.setup(), counted(own.one()), Counted::plus));
        List<OneByOne.Case> cases = all.stream()
                .filter(own -> question.cohort().setups().isEmpty()
                        || question.cohort().setups().contains(own.setup().value()))
                .map(Own::one)
                .toList();
        YearMonth first = until.minusMonths(2 * OneByOne.MONTHS - 1);
        SortedMap<YearMonth, Counted> quarters = new TreeMap<>();
        cases.forEach(one -> quarters.merge(QUARTER.start(one.month()), counted(one), Counted::plus));
        Counted counted = quarters.values().stream().reduce(Counted.NOTHING, Counted::plus);
        ChartRequest request = new ChartRequest(question, ChartKind.RUN, QUARTER, Average.EACH);
        return new OwnCurve(
                question,
                levels,
                setups,
                cases,
                counted,
                OneByOne.of(
                        question,
                        until,
                        cases.stream()
                                .filter(one -> !one.month().isBefore(first)
                                        && !one.month().isAfter(until))
                                .toList()),
                Judging.of(request, new Points(request, now).spans(quarters), counted, List.of(), List.of()),
                LcCusum.of(
                        cases.stream()
                                .filter(OneByOne.Case::shown)
                                .map(one ->
                                        OneByOne.outcome(one, question.measure().unwanted()))
                                .toList(),
                        levels.acceptable(),
                        levels.unacceptable(),
                        WITHIN,
                        FALSE));
    }

    private static Counted counted(OneByOne.Case one) {
        return new Counted(
                Objects.equals(one.answer(), (short) 1) ? 1 : 0,
                one.counts() ? 1 : 0,
                one.counts() ? 0 : 1,
                one.shown() && !one.counts() ? 1 : 0,
                one.nominal() ? 1 : 0);
    }

    /** The cases that the curve runs over: a gap where the answer is not known. */
    List<OneByOne.Case> onCurve() {
        return cases.stream().filter(OneByOne.Case::shown).toList();
    }

    /** The set-up that is drawn alone, or null where several are. */
    @Nullable
    Code alone() {
        List<Code> drawn = setups.keySet().stream()
                .filter(code -> question.cohort().setups().isEmpty()
                        || question.cohort().setups().contains(code.value()))
                .toList();
        return drawn.size() == 1 ? drawn.get(0) : null;
    }

    Measure measure() {
        return question.measure();
    }

    /** What can be said of the level: what the API calls it. */
    Verdict verdict() {
        return curve.fold(
                ok -> !ok.value().enoughForAVerdict()
                        ? Verdict.TOO_FEW_CASES
                        : ok.value().competenceAt().isPresent() ? Verdict.SHOWN : Verdict.NOT_YET_SHOWN,
                refused -> Verdict.NO_CASES);
    }

    /** What can be said of the level. */
    enum Verdict {
        NO_CASES,
        TOO_FEW_CASES,
        NOT_YET_SHOWN,
        SHOWN
    }
}
