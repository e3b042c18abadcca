package airway.registry.charts;

import airway.stats.Caution;
import airway.stats.Estimate;
import airway.stats.Reason;
import airway.stats.chart.Limits;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * A chart with everything that stands on it.
 *
 * @param total all that was counted
 * @param overall what was counted of all together with its interval, or null where there is none
 * @param phases stretches that are judged each by itself, or by an average kept from the first; never empty
 * @param kept the average of the unit that judges the points, or null where none was kept or another was asked for
 * @param marks changes of the unit in the time of the chart, in order
 * @param shifts answers whose share differs between the first phase and the latest
 * @param cautions what a reader has to know of the whole
 */
record Chart(
        ChartRequest request,
        List<Point> points,
        Counted total,
        @Nullable Estimate overall,
        List<Phase> phases,
        @Nullable Kept kept,
        List<Mark> marks,
        List<CaseMix.Share> shifts,
        Set<Caution> cautions) {

    /** A rule by which something signals. */
    enum Rule {
        BEYOND_LIMITS,
        LONG_RUN,
        FEW_CROSSINGS;

        String code() {
            return name().toLowerCase(Locale.ROOT);
        }
    }

    /**
     * One point.
     *
     * @param period its name in the API
     * @param words its name for people
     * @param starts the first day it is about, or null where that is not known
     * @param complete false while its span still runs: drawn hollow, never a signal
     * @param value what is plotted, or null without a case
     * @param estimate what was counted with its interval, or null where there is none
     * @param limits limits of this point, or null
     * @param signals the rules by which it signals
     */
    record Point(
            String period,
            String words,
            @Nullable LocalDate starts,
            Counted counted,
            boolean complete,
            @Nullable Double value,
            @Nullable Estimate estimate,
            @Nullable Limits limits,
            Set<Rule> signals) {

        boolean beyond() {
            return signals.contains(Rule.BEYOND_LIMITS);
        }

        /** The same with another value. */
        Point plotting(double other) {
            return new Point(period, words, starts, counted, complete, other, estimate, limits, signals);
        }
    }

    /**
     * A stretch of points that is judged by one line.
     *
     * @param first place of its first point, from 0
     * @param end place after its last point
     * @param centre the average or median of the stretch, or the one kept from before it; null where there is none
     * @param kept whether the centre was kept from before
     * @param refusal why there are no limits, or no rules, or null
     * @param provisional whether the limits rest on few points
     * @param reach for which points a limit can never be passed
     * @param run how the points lie about their median, or null where too few do
     */
    record Phase(
            int first,
            int end,
            @Nullable Double centre,
            boolean kept,
            @Nullable Reason refusal,
            boolean provisional,
            Reach reach,
            @Nullable Run run) {}

    /**
     * A kept average, and what its records say by now.
     *
     * @param since what became of the records it was taken from
     * @param today the line that would stand if it were taken today, or null where there is none
     */
    record Kept(
            KeptAverage average,
            KeptRecords.Since since,
            @Nullable Double today) {

        /** What the line of today would rest on. */
        Counted total() {
            return judged(since.points());
        }

        /** The points of its period as they stand today, as a kind of chart plots them. */
        List<Point> points(ChartKind kind) {
            return KeptAverage.plotted(since.points(), kind);
        }
    }

    /**
     * How the points of a phase lie about a median.
     *
     * @param first place of the first point of the longest run, from 0
     * @param last place of its last point
     * @param points how many it holds
     * @param mostByChance a longer run signals
     * @param crossings how often the line crosses the median
     * @param fewestByChance fewer crossings signal
     */
    record Run(
            double median,
            int useful,
            int first,
            int last,
            int points,
            int mostByChance,
            int crossings,
            int fewestByChance) {
        boolean isLong() {
            return points > mostByChance;
        }

        boolean crossesSeldom() {
            return crossings < fewestByChance;
        }
    }

    /**
     * A change of the unit on the chart.
     *
     * @param place of the first point after it, from 0; as many as there are points when all lie before
     * @param cuts whether a new phase begins there
     */
    record Mark(String letter, LocalDate on, String name, String reason, boolean cuts, int place) {}

    /**
     * Where a rise or fall could never show as a point beyond its limit.
     *
     * @param upper number of points whose upper limit is 100 %
     * @param casesForUpper cases a point needs for an upper limit under 100 %
     * @param lower number of points whose lower limit is 0 %
     * @param casesForLower cases a point needs for a lower limit over 0 %
     */
    record Reach(int upper, long casesForUpper, int lower, long casesForLower) {
        static final Reach NOT_ASKED = new Reach(0, 0, 0, 0);
    }

    /** The points of a phase. */
    List<Point> points(Phase phase) {
        return points.subList(phase.first(), phase.end());
    }

    /** What was counted over the complete points of a phase: its limits and average rest on these. */
    Counted judged(Phase phase) {
        return judged(points(phase));
    }

    /** What was counted over the complete ones of some points. */
    static Counted judged(List<Point> points) {
        return points.stream().filter(Point::complete).map(Point::counted).reduce(Counted.NOTHING, Counted::plus);
    }

    /** What the complete points of a phase tell together, with its 95 % interval; null where there is none. */
    @Nullable
    Estimate together(Phase phase) {
        return request.kind()
                .together(request.measure(), points(phase))
                .toOptional()
                .orElse(null);
    }

    /** The phase that runs now. */
    Phase latest() {
        return phases.get(phases.size() - 1);
    }

    /** The points beyond their limits. */
    List<Point> beyond() {
        return points.stream().filter(Point::beyond).toList();
    }

    /**
     * The points beyond their limits as signals, by place. Each is one, but neighbours of a moving average on one side are one
     * together: each holds the one before.
     */
    List<List<Integer>> beyondTogether() {
        List<List<Integer>> all = new ArrayList<>();
        for (int place = 0; place < points.size(); place++) {
            if (!points.get(place).beyond()) {
                continue;
            }
            boolean follows = request.kind() == ChartKind.EWMA
                    && place > 0
                    && points.get(place - 1).beyond()
                    && above(place - 1) == above(place);
            if (!follows) {
                all.add(new ArrayList<>());
            }
            all.get(all.size() - 1).add(place);
        }
        return all;
    }

    private boolean above(int place) {
        Point point = points.get(place);
        return Objects.requireNonNull(point.value())
                > Objects.requireNonNull(point.limits()).upper();
    }

    /** Every rule by which something on the chart signals. */
    Set<Rule> rules() {
        Set<Rule> rules = EnumSet.noneOf(Rule.class);
        points.forEach(point -> rules.addAll(point.signals()));
        for (Phase phase : phases) {
            Run run = phase.run();
            if (run != null && run.crossesSeldom()) {
                rules.add(Rule.FEW_CROSSINGS);
            }
        }
        return rules;
    }

    /** Points that hold a case. */
    List<Point> withData() {
        return points.stream().filter(point -> point.counted().n() > 0).toList();
    }

    /** Dates made up for order only stand behind some of it. */
    boolean nominal() {
        return total.nominal() > 0;
    }
}
