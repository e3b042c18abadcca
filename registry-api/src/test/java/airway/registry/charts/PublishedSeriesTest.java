package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import airway.stats.Series;
import airway.stats.chart.ChartPoint;
import airway.stats.chart.Limits;
import airway.stats.chart.Signal;
import airway.stats.sequential.Ewma;
import airway.stats.sequential.EwmaDesign;
import airway.stats.sequential.TabularCusum;
import airway.stats.sequential.TabularCusumDesign;
import java.time.Instant;
import java.time.LocalDate;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.UUID;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/** Published series loaded as the registry loads its own counts: the same centre, limits and signals are drawn and told. */
class PublishedSeriesTest {
    private static final Grouping MONTH = new Grouping(Grouping.Span.MONTH, 0);

    private static ChartRequest request(ChartKind kind) {
        return new ChartRequest(
                new Question(Measure.FPS, null, new Cohort(List.of(), null, null, Map.of(), Set.of())),
                kind,
                MONTH,
                Average.EACH);
    }

    private static Chart chart(ChartKind kind, int n, int... counts) {
        List<Chart.Point> points = new ArrayList<>();
        YearMonth month = YearMonth.of(2023, 1);
        for (int x : counts) {
            points.add(Points.counted(
                    Quantity.PROPORTION,
                    MONTH.code(month),
                    MONTH.words(month),
                    month.atDay(1),
                    new Counted(x, n, 0, 0, 0),
                    true));
            month = month.plusMonths(1);
        }
        Counted total = points.stream().map(Chart.Point::counted).reduce(Counted.NOTHING, Counted::plus);
        return Judging.of(request(kind), points, total, null, List.of(), List.of());
    }

    /** A series of points of another quantity, month by month. */
    private static Chart chart(Measure measure, ChartKind kind, List<Counted> counts) {
        ChartRequest request = new ChartRequest(
                new Question(measure, null, new Cohort(List.of(), null, null, Map.of(), Set.of())),
                kind,
                MONTH,
                Average.EACH);
        List<Chart.Point> points = new ArrayList<>();
        YearMonth month = YearMonth.of(2023, 1);
        for (Counted counted : counts) {
            points.add(Points.counted(
                    request.quantity(), MONTH.code(month), MONTH.words(month), month.atDay(1), counted, true));
            month = month.plusMonths(1);
        }
        return Judging.of(
                request, points, counts.stream().reduce(Counted.NOTHING, Counted::plus), null, List.of(), List.of());
    }

    private static double centre(Chart chart) {
        return Objects.requireNonNull(chart.latest().centre());
    }

    private static Limits limits(Chart chart) {
        return Objects.requireNonNull(chart.points().get(0).limits());
    }

    /**
     * NIST/SEMATECH e-Handbook of Statistical Methods 6.3.3.1 (from memory, its sums checked): defects on 25 wafers of one size;
     * centre 16, limits 4 and 28. The 24th lies beyond, the third on the limit.
     */
    @Test
    void drawsTheChartOfCountsOfTheHandbook() {
        List<Counted> wafers = IntStream.of(
                        16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14, 16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31,
                        13)
                .mapToObj(defects -> new Counted(defects, 100, 0, 0, 0))
                .toList();

        Chart chart = chart(Measure.AE_PER_ENCOUNTER, ChartKind.C, wafers);

        assertThat(centre(chart)).isEqualTo(16);
        assertThat(limits(chart).lower()).isEqualTo(4);
        assertThat(limits(chart).upper()).isEqualTo(28);
        assertThat(chart.beyond())
                .singleElement()
                .satisfies(point -> assertThat(point.value()).isEqualTo(31));
        assertThat(new ChartWords(chart).shows()).contains("400 events in 2500 (0.16 per intubation)");
        assertThat(new ChartWords(chart).reach())
                .as("the lower limit is over 0")
                .isEmpty();
        assertThat(new ChartWords(chart).averages())
                .as("exact interval of a Poisson count of 400: 361.8 to 441.2 (R, poisson.test), over 2500")
                .containsExactly(
                        "The average is that of the complete points: 16; of all intubations together 400 events in"
                                + " 2500 (0.16 per intubation), 95% interval 0.14 to 0.18.");
    }

    /** NIST/SEMATECH e-Handbook of Statistical Methods 6.3.3.2: 30 wafers of 50 chips; centre 0.2313, limits 0.0524, 0.4102. */
    @Test
    void drawsTheChartOfProportionsOfTheHandbook() {
        Chart chart = chart(
                ChartKind.P,
                50,
                12,
                15,
                8,
                10,
                4,
                7,
                16,
                9,
                14,
                10,
                5,
                6,
                17,
                12,
                22,
                8,
                10,
                5,
                13,
                11,
                20,
                18,
                24,
                15,
                9,
                12,
                7,
                13,
                9,
                6);
        assertThat(centre(chart)).isCloseTo(0.2313, within(5e-5));
        assertThat(limits(chart).lower()).isCloseTo(0.0524, within(5e-5));
        assertThat(limits(chart).upper()).isCloseTo(0.4102, within(5e-5));
        assertThat(chart.beyond().stream().map(Chart.Point::period)).containsExactly("2024-03", "2024-11");
        assertThat(new ChartWords(chart).signals())
                .hasSizeGreaterThanOrEqualTo(2)
                .first()
                .asString()
                .contains("Mar 2024: more than chance usually gives. 22 of 50 (44%)", "the upper limit is 41%");
        assertThat(ChartSvg.draw(chart, ChartSvg.Size.WHOLE))
                .contains("Mar 2024: 22 of 50 (44%), limits 5% to 41%, beyond its limit");
    }

    /**
     * NIST/SEMATECH e-Handbook 6.3.2.2, single values of a flow, here as per mille: mean 50.81, limits 45.8159 and 55.8041
     * (printed with d2 = 1.128, hence the tolerance).
     */
    @Test
    void drawsTheChartOfSingleValuesOfTheHandbook() {
        Chart chart = chart(ChartKind.XMR, 1000, 496, 476, 499, 513, 478, 512, 526, 524, 536, 521);
        assertThat(centre(chart)).isCloseTo(0.5081, within(1e-9));
        assertThat(limits(chart).lower()).isCloseTo(0.458159, within(5e-5));
        assertThat(limits(chart).upper()).isCloseTo(0.558041, within(5e-5));
        assertThat(chart.beyond()).isEmpty();
        assertThat(chart.latest().provisional()).isTrue();
    }

    /**
     * Anhøj and Olesen 2014 (doi:10.1371/journal.pone.0113825): with 20 points off the median a run of more than 7 and fewer
     * than 6 crossings signal.
     */
    @Test
    void tellsALongRunAndFewCrossings() {
        Chart chart = chart(ChartKind.RUN, 20, 8, 9, 7, 10, 9, 8, 7, 9, 10, 8, 14, 15, 16, 14, 15, 17, 16, 15, 14, 16);
        Chart.Run run = Objects.requireNonNull(chart.latest().run());
        assertThat(run.useful()).isEqualTo(20);
        assertThat(run.mostByChance()).isEqualTo(7);
        assertThat(run.fewestByChance()).isEqualTo(6);
        assertThat(run.points()).isEqualTo(10);
        assertThat(run.crossings()).isEqualTo(1);
        assertThat(chart.rules()).containsExactlyInAnyOrder(Chart.Rule.LONG_RUN, Chart.Rule.FEW_CROSSINGS);
        assertThat(new ChartWords(chart).signals())
                .containsExactly(
                        "10 points in a row, Jan 2023 to Oct 2023, lie on one side of the median of 60.0%; with 20 points off"
                                + " the median chance seldom gives more than 7. The level may have moved: ask what was"
                                + " different.",
                        "The points cross the median of 60.0% once; with 20 points off the median chance seldom gives fewer"
                                + " than 6. The level may have moved or drifted.");
        assertThat(new ChartWords(chart).quiet()).isNull();
    }

    /**
     * The probability limits of a g chart: the smallest number of cases at which the geometric law with the mean of the points
     * passes 0.99865; ln(0.00135) / ln(mean / (1 + mean)) - 1 rounded up, worked out by hand for a mean of 9: 62.
     */
    @Test
    void drawsWhatLiesBetweenEvents() {
        List<CountQuery.Event> events = new ArrayList<>();
        Instant at = Instant.parse("2024-01-05T10:00:00Z");
        for (int i = 0; i <= 12; i++) {
            events.add(new CountQuery.Event(at, i % 2 == 0 ? 12 : 8));
            at = at.plusSeconds(86_400L * 10);
        }
        Points points = new Points(request(ChartKind.G), at);
        List<Chart.Point> between = points.between(new CountQuery.Events(0, events, 5));
        assertThat(between).hasSize(13);
        assertThat(between.get(12).complete()).as("the one that runs").isFalse();
        assertThat(between.get(12).value()).isEqualTo(5.0);
        Chart chart =
                Judging.of(request(ChartKind.G), between, new Counted(13, 135, 0, 0, 0), null, List.of(), List.of());
        assertThat(centre(chart)).isEqualTo(9);
        assertThat(limits(chart).upper()).isEqualTo(62);

        List<Chart.Point> days = new Points(request(ChartKind.T), at).between(new CountQuery.Events(0, events, 5));
        assertThat(days.stream().map(Chart.Point::value)).containsOnly(10.0);
        Chart alike = Judging.of(request(ChartKind.T), days, new Counted(13, 135, 0, 0, 0), null, List.of(), List.of());
        assertThat(new ChartWords(alike).limits())
                .containsExactly("No limits: the points are all alike, so there is nothing to set limits by.");
    }

    /**
     * Montgomery DC, Introduction to Statistical Quality Control: defects in ten rolls of dyed cloth, the area in units of 50
     * square metres (inspection units 10, 8, 13, ...); centre 1.40367. The limits of 10 units, 1.40 ± 3 √(1.40/10), are printed
     * as 0.28 and 2.53 (these from memory).
     */
    @Test
    void drawsTheChartOfDefectsInDyedCloth() {
        long[] defects = {14, 12, 20, 11, 7, 10, 21, 16, 19, 23};
        long[] areas = {10, 8, 13, 10, 10, 10, 12, 11, 12, 13};
        List<Counted> rolls = new ArrayList<>();
        for (int i = 0; i < defects.length; i++) {
            rolls.add(new Counted(defects[i], areas[i], 0, 0, 0));
        }
        Chart chart = chart(Measure.AE_PER_ENCOUNTER, ChartKind.U, rolls);
        assertThat(centre(chart)).isCloseTo(1.40367, within(0.000005));
        assertThat(limits(chart).lower()).isCloseTo(0.28, within(0.005));
        assertThat(limits(chart).upper()).isCloseTo(2.53, within(0.005));
        assertThat(chart.beyond()).isEmpty();
        assertThat(chart.latest().provisional()).isTrue();
        assertThat(new ChartWords(chart).averages())
                .containsExactly(
                        "The average is that of the complete points: 153 events in 109 (1.40 per intubation); 95%"
                                + " interval 1.19 to 1.64.");
        assertThat(ChartSvg.draw(chart, ChartSvg.Size.WHOLE))
                .contains("Jan 2023: 14 events in 10 (1.40 per intubation), limits 0.28 to 2.53");
    }

    /** Montgomery, as above: defects on 26 samples of 100 printed circuit boards; limits of a count 6.481447 and 33.21086. */
    @Test
    void drawsTheChartOfDefectsOnCircuitBoards() {
        List<Counted> samples = new ArrayList<>();
        for (int defects : new int[] {
            21, 24, 16, 12, 15, 5, 28, 20, 31, 25, 20, 24, 16, 19, 10, 17, 13, 22, 18, 39, 30, 24, 16, 19, 17, 15
        }) {
            samples.add(new Counted(defects, 100, 0, 0, 0));
        }
        Chart chart = chart(Measure.AE_PER_ENCOUNTER, ChartKind.U, samples);
        assertThat(100 * centre(chart)).isCloseTo(19.84615, within(0.000005));
        assertThat(100 * limits(chart).lower()).isCloseTo(6.481447, within(0.0000005));
        assertThat(100 * limits(chart).upper()).isCloseTo(33.21086, within(0.000005));
        assertThat(chart.beyond().stream().map(Chart.Point::period)).containsExactly("2023-06", "2024-08");
        assertThat(new ChartWords(chart).signals())
                .contains("Aug 2024: more than chance usually gives. 39 events in 100 (0.39 per intubation); with 100"
                        + " intubations the upper limit is 0.33. A question, not an answer: ask what was different.");
    }

    /** Invented medians; centre, mean distance of neighbours (18/9) and ranks of the interval worked out by hand. */
    @Test
    void drawsMediansAndTheirLimits() {
        List<Counted> values = new ArrayList<>();
        for (int flow : new int[] {50, 48, 50, 51, 48, 51, 53, 52, 54, 52}) {
            Histogram three =
                    Histogram.of(flow - 7, 1).plus(Histogram.of(flow, 1)).plus(Histogram.of(flow + 30, 1));
            values.add(new Counted(0, 3, 0, 0, 0, three));
        }
        Chart saturation = chart(Measure.SPO2_LOW_MEDIAN, ChartKind.XMR, values);
        assertThat(centre(saturation)).isCloseTo(50.9, within(1e-9));
        assertThat(limits(saturation).upper()).as("3/d2 = 2.6587").isCloseTo(50.9 + 2.6587 * 2, within(5e-4));
        assertThat(saturation.points().get(0).value())
                .as("a median, not the mean of 57.7")
                .isEqualTo(50.0);
        assertThat(saturation.points().get(0).estimate())
                .as("three have no interval")
                .isNull();
        assertThat(new ChartWords(saturation).came(saturation.points().get(0))).isEqualTo("SpO2 50% (median of 3)");
        assertThat(new ChartWords(saturation).shows())
                .isEqualTo(
                        "From Jan 2023 to Oct 2023: lowest saturation, SpO2 51% (median of 30); 95% interval 47% to 78%,"
                                + " none left out.");

        Chart seconds = chart(Measure.DURATION_SUCCESS, ChartKind.XMR, values);
        assertThat(centre(seconds)).as("the geometric mean").isCloseTo(50.8656, within(5e-5));
        assertThat(limits(seconds).upper() / centre(seconds))
                .as("limits at one factor")
                .isCloseTo(centre(seconds) / limits(seconds).lower(), within(1e-9));
        assertThat(new ChartWords(seconds).came(seconds.points().get(0))).isEqualTo("50 s (median of 3)");
    }

    /** A series cut before the point of a place. */
    private static Chart cut(Measure measure, ChartKind kind, int place, List<Counted> counts) {
        Chart whole = chart(measure, kind, counts);
        Chart.Mark mark = new Chart.Mark("A", LocalDate.of(2023, 1, 1).plusMonths(place), "", "", true, place);
        return Judging.of(whole.request(), whole.points(), whole.total(), null, List.of(mark), List.of());
    }

    /** The ratio of the example of poisson.test in R 4.2: 11 in 800 against 21 in 3011, 1.97, exact interval 0.858 to 4.277. */
    @Test
    void tellsHowManyTimesTheRateOfBeforeTheRateIs() {
        Chart chart = cut(
                Measure.AE_PER_ENCOUNTER,
                ChartKind.U,
                3,
                List.of(
                        new Counted(6, 1083, 0, 0, 0),
                        new Counted(8, 1050, 0, 0, 0),
                        new Counted(7, 878, 0, 0, 0),
                        new Counted(11, 800, 0, 0, 0)));
        assertThat(PhaseGap.of(chart)).hasValueSatisfying(gap -> {
            assertThat(gap.scale()).isEqualTo(PhaseGap.Scale.RATIO);
            assertThat(gap.estimate().value()).isCloseTo(1.971488, within(5e-7));
            assertThat(gap.estimate().lower()).isCloseTo(0.8584264, within(5e-7));
            assertThat(gap.estimate().upper()).isCloseTo(4.2772659, within(5e-6));
        });
        assertThat(new ChartWords(chart).averages())
                .contains(
                        "The rate of the last phase is 1.97 times that of the first (95% interval of the ratio 0.86 to"
                                + " 4.28; where several events come in one intubation it can be too narrow). That holds 1, so it"
                                + " does not settle whether anything changed.");

        Chart none = cut(
                Measure.AE_PER_ENCOUNTER,
                ChartKind.U,
                1,
                List.of(new Counted(0, 120, 0, 0, 0), new Counted(7, 100, 0, 0, 0)));
        assertThat(new ChartWords(none).averages())
                .as("7 in 100 against none in 120: 1.72957 to infinity (R, poisson.test)")
                .anyMatch(sentence ->
                        sentence.startsWith("Events came in the last phase alone (95% interval of the ratio of the"
                                + " two rates 1.73 or more;"));
        assertThat(ChartJson.of(none).at("/gap/upper").isNull()).isTrue();
    }

    /**
     * Permeability of the membrane at term and before (Hollander M, Wolfe DA 1973, Nonparametric Statistical Methods; the example
     * of wilcox.test in R), in hundredths: shift 30.5, interval -15 to 76.
     */
    @Test
    void tellsHowFarTheValuesLieFromThoseOfBefore() {
        List<Counted> values = IntStream.of(115, 88, 90, 74, 121, 80, 83, 189, 104, 145, 138, 191, 164, 73, 146)
                .mapToObj(value -> new Counted(0, 1, 0, 0, 0, Histogram.of(value, 1)))
                .toList();
        Chart chart = cut(Measure.DURATION_SUCCESS, ChartKind.RUN, 5, values);
        assertThat(new ChartWords(chart).averages())
                .contains(
                        "The values of the last phase lie 30.5 s above those of the first (the middle of all differences;"
                                + " 95% interval −15 s to 76 s). That holds 0, so it does not settle whether anything changed.");
        assertThat(ChartJson.of(chart).at("/gap/of").asString()).isEqualTo("shift");
    }

    /** An average kept from the ten months before the series. */
    private static Chart.Kept kept(int x, int n) {
        ChartRequest about = new ChartRequest(
                new Question(
                        Measure.FPS,
                        null,
                        new Cohort(List.of(), YearMonth.of(2022, 3), YearMonth.of(2022, 12), Map.of(), Set.of())),
                ChartKind.P,
                MONTH,
                Average.EACH);
        List<Chart.Point> points = new ArrayList<>();
        for (YearMonth month = YearMonth.of(2022, 3); month.getYear() == 2022; month = month.plusMonths(1)) {
            points.add(Points.counted(
                    Quantity.PROPORTION,
                    MONTH.code(month),
                    MONTH.words(month),
                    month.atDay(1),
                    new Counted(x, n, 0, 0, 0),
                    true));
        }
        return new Chart.Kept(
                new KeptAverage(new UUID(0, 1), 1, "final", about, points, "", Instant.EPOCH),
                new KeptRecords.Since(List.of(), 0, 0, 0),
                null);
    }

    private static Chart chart(ChartKind kind, Chart.Kept kept, int[] xs, int[] ns) {
        List<Chart.Point> points = new ArrayList<>();
        for (int i = 0; i < xs.length; i++) {
            YearMonth month = YearMonth.of(2023, 1).plusMonths(i);
            points.add(Points.counted(
                    Quantity.PROPORTION,
                    MONTH.code(month),
                    MONTH.words(month),
                    month.atDay(1),
                    new Counted(xs[i], ns[i], 0, 0, 0),
                    true));
        }
        Counted total = points.stream().map(Chart.Point::counted).reduce(Counted.NOTHING, Counted::plus);
        return Judging.of(request(kind).byKept(), points, total, kept, List.of(), List.of());
    }

    /**
     * A moving average against a kept 70 of 100, λ 0.2, L 2.86: values, limits and signals of an independent implementation
     * (SciPy 1.10, cross-checked in R 4.2).
     */
    @Test
    void drawsAMovingAverageAgainstAKeptOne() {
        int[] xs = {6, 9, 7, 5, 8, 11, 6, 9, 7, 10, 8, 6, 9, 12, 10, 9, 11, 8, 13, 10, 12, 11, 9, 14};
        int[] ns = {10, 13, 11, 9, 12, 15, 8, 14, 10, 13, 12, 9, 11, 15, 12, 11, 13, 10, 15, 12, 13, 13, 10, 16};

        Chart chart = chart(ChartKind.EWMA, kept(7, 10), xs, ns);

        Chart.Point first = chart.points().get(0);
        Chart.Point last = chart.points().get(23);
        assertThat(first.value()).isCloseTo(0.68, within(1e-9));
        assertThat(Objects.requireNonNull(first.limits()).lower()).isCloseTo(0.6171093250117964, within(1e-9));
        assertThat(last.value()).isCloseTo(0.8526235886675638, within(1e-9));
        assertThat(Objects.requireNonNull(last.limits()).upper()).isCloseTo(0.8219098042682632, within(1e-9));
        assertThat(chart.beyond()).isEqualTo(chart.points().subList(20, 24));
        assertThat(new ChartWords(chart).signals())
                .containsExactly(
                        "Sep 2024 to Dec 2024: the moving average lies over its upper limit at 4 points in a row,"
                                + " which are one signal, since each holds the one before. The last: 14 of 16 (88%), moving average"
                                + " 85%. A question, not an answer: ask what was different.");
        assertThat(ChartSvg.draw(chart, ChartSvg.Size.WHOLE))
                .contains("Dec 2024: 14 of 16 (88%), moving average 85%, limits 58% to 82%, beyond its limit");
        assertThat(centre(chart)).isEqualTo(0.7);
    }

    /**
     * Points that the statistics judged, as the writer of charts gets them. Moving averages and sums of values are not offered for
     * medians, so that no measure leads here.
     */
    private static Chart judged(List<ChartPoint> judged, double centre) {
        ChartRequest request = new ChartRequest(
                new Question(Measure.DURATION_SUCCESS, null, new Cohort(List.of(), null, null, Map.of(), Set.of())),
                ChartKind.XMR,
                MONTH,
                Average.EACH);
        List<Chart.Point> points = new ArrayList<>();
        for (ChartPoint point : judged) {
            YearMonth month = YearMonth.of(2023, 1).plusMonths(point.number() - 1L);
            points.add(new Chart.Point(
                    MONTH.code(month),
                    MONTH.words(month),
                    month.atDay(1),
                    new Counted(0, 1, 0, 0, 0, Histogram.of((int) point.value().orElseThrow(), 1)),
                    true,
                    point.value().orElseThrow(),
                    null,
                    point.limits().orElseThrow(),
                    point.signal() == Signal.NONE ? Set.of() : Set.of(Chart.Rule.BEYOND_LIMITS)));
        }
        Chart.Phase phase = new Chart.Phase(0, points.size(), centre, false, null, false, Chart.Reach.NOT_ASKED, null);
        return new Chart(
                request,
                points,
                new Counted(0, points.size(), 0, 0, 0),
                null,
                List.of(phase),
                null,
                List.of(),
                List.of(),
                Set.of());
    }

    private static List<ChartPoint> against(Series sums, double h) {
        return IntStream.rangeClosed(1, sums.size())
                .mapToObj(i -> ChartPoint.judged(i, sums.at(i).orElseThrow(), new Limits(0, 0, h)))
                .toList();
    }

    /**
     * NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.4 and 6.3.2.3, through the statistics onto the chart: the moving average
     * (λ 0.3, limits 47.4115 and 52.5884, no signal), and the two sums (target 325, k 0.3175, h 4.1959), of which the upper passes
     * its limit from the 14th on.
     */
    @Test
    void drawsTheMovingAverageAndTheSumsOfTheHandbook() {
        Series flow = Series.of(
                52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6,
                52.4, 53.6, 52.1);
        Chart average = judged(
                Ewma.of(flow, 50, 2.0539, new EwmaDesign(0.3, 3), Ewma.Width.FINAL)
                        .orElseThrow()
                        .points(),
                50);
        assertThat(average.beyond()).isEmpty();
        assertThat(ChartSvg.draw(average, ChartSvg.Size.WHOLE))
                .contains(", limits 47.4 s to 52.6 s")
                .doesNotContain(", beyond its limit");

        Series means = Series.of(
                324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600, 324.625,
                325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350);
        TabularCusum sums = TabularCusum.of(means, 325, new TabularCusumDesign(0.3175, 4.1959))
                .orElseThrow();
        Chart above = judged(against(sums.above(), 4.1959), 0);
        assertThat(above.beyond()).isEqualTo(above.points().subList(13, 20));
        assertThat(ChartSvg.draw(above, ChartSvg.Size.WHOLE).split("class=\"out\"", -1))
                .as("seven points in the picture")
                .hasSize(8);
        assertThat(judged(against(sums.below(), 4.1959), 0).beyond()).isEmpty();
    }

    /** Stretches of so many days each, with one case a day, ended day by day; of a g chart their values are cases. */
    private static List<Chart.Point> stretches(ChartKind kind, double... values) {
        List<Chart.Point> points = new ArrayList<>();
        for (int i = 0; i < values.length; i++) {
            Counted counted = new Counted(1, Math.round(values[i]) + 1, 0, 0, 0);
            LocalDate ended = LocalDate.of(2023, 1, 1).plusDays(i);
            points.add(new Chart.Point("" + i, "", ended, counted, true, values[i], null, null, Set.of()));
        }
        return kind == ChartKind.G ? KeptAverage.plotted(points, kind) : points;
    }

    private static Chart between(ChartKind kind, double[] kept, double... values) {
        ChartRequest about = new ChartRequest(
                new Question(
                        Measure.FPS,
                        null,
                        new Cohort(List.of(), YearMonth.of(2022, 1), YearMonth.of(2022, 12), Map.of(), Set.of())),
                ChartKind.T,
                MONTH,
                Average.EACH);
        KeptAverage average =
                new KeptAverage(new UUID(0, 1), 1, "final", about, stretches(ChartKind.T, kept), "", Instant.EPOCH);
        return Judging.of(
                request(kind).byKept(),
                stretches(kind, values),
                new Counted(4, 400, 0, 0, 0),
                new Chart.Kept(average, new KeptRecords.Since(List.of(), 0, 0, 0), null),
                List.of(),
                List.of());
    }

    /**
     * Centre, limits and signals of an independent implementation (SciPy 1.10, cross-checked in R 4.2): of days by t^(1/3.6)
     * (Nelson 1994), of cases by the geometric law at 0.00135 and 0.99865.
     */
    @Test
    void judgesWhatLiesBetweenEventsByAKeptAverage() {
        Chart days = between(
                ChartKind.T,
                new double[] {
                    25.0, 7.8, 10.1, 18.3, 16.0, 1.5, 7.3, 15.2, 11.5, 15.3, 9.2, 5.9, 12.1, 3.4, 0.3, 5.3, 12.4, 1.0
                },
                53,
                95,
                120,
                88);
        assertThat(centre(days)).isCloseTo(7.774513372075747, within(1e-8));
        assertThat(limits(days).lower()).isCloseTo(0.08743039882735047, within(1e-8));
        assertThat(limits(days).upper()).isCloseTo(53.92141349305114, within(1e-8));
        assertThat(days.beyond()).isEqualTo(days.points().subList(1, 4));
        assertThat(days.latest().provisional()).as("18 kept").isTrue();

        Chart cases = between(
                ChartKind.G,
                new double[] {12, 5, 0, 31, 8, 17, 3, 22, 9, 14, 1, 40, 6, 11, 27, 2, 19, 7, 4, 16, 10, 25},
                88,
                95,
                130);
        assertThat(centre(cases)).isCloseTo(13.136363636363637, within(1e-12));
        assertThat(limits(cases).lower()).isZero();
        assertThat(limits(cases).upper()).isEqualTo(90);
        assertThat(cases.beyond()).isEqualTo(cases.points().subList(1, 3));
        assertThat(cases.latest().provisional()).as("22 kept").isFalse();
    }

    /** NIST/SEMATECH e-Handbook of Statistical Methods 6.3.3.2, centre 0.2313 as 347 of 1500: limits 0.0524 and 0.4102 for 50. */
    @Test
    void judgesPointsByAKeptAverageAndNotByTheirOwn() {
        Chart chart = chart(ChartKind.P, kept(2313, 10_000), new int[] {2, 12, 21}, new int[] {50, 50, 50});

        assertThat(centre(chart)).isCloseTo(0.2313, within(1e-12));
        assertThat(limits(chart).lower()).isCloseTo(0.0524, within(5e-5));
        assertThat(limits(chart).upper()).isCloseTo(0.4102, within(5e-5));
        assertThat(chart.beyond())
                .containsExactly(chart.points().get(0), chart.points().get(2));
        assertThat(chart.phases()).hasSize(1);
    }
}
