package airway.registry.charts;

import airway.registry.charts.Chart.Point;
import airway.registry.charts.Chart.Reach;
import airway.registry.cohort.Measure;
import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.Rate;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Series;
import airway.stats.Shown;
import airway.stats.chart.Baseline;
import airway.stats.chart.CChart;
import airway.stats.chart.ChartPoint;
import airway.stats.chart.ControlChart;
import airway.stats.chart.GChart;
import airway.stats.chart.LaneyChart;
import airway.stats.chart.PChart;
import airway.stats.chart.RunChart;
import airway.stats.chart.Signal;
import airway.stats.chart.TChart;
import airway.stats.chart.UChart;
import airway.stats.sequential.Ewma;
import airway.stats.sequential.EwmaDesign;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.IntStream;
import java.util.stream.Stream;

/** How a measure is drawn over time: what a point is, and what it is judged by. */
enum ChartKind {
    /** Proportions with limits from the binomial law. */
    P("Proportion with limits") {
        @Override
        Answer<Lines> judge(Quantity quantity, List<Point> points, Baseline baseline) {
            return PChart.of(proportions(points), baseline)
                    .map(p -> Lines.of(
                            p.chart(),
                            new Reach(
                                    p.upperUnreachable().size(),
                                    p.casesToReachUpper(),
                                    p.lowerUnreachable().size(),
                                    p.casesToReachLower())));
        }
    },
    /** The same with limits widened for points that scatter more than chance alone gives. */
    P_PRIME("Proportion with limits widened for scatter (p′)") {
        @Override
        Answer<Lines> judge(Quantity quantity, List<Point> points, Baseline baseline) {
            return LaneyChart.ofProportions(proportions(points), baseline)
                    .map(laney -> Lines.of(laney.chart(), Reach.NOT_ASKED));
        }
    },
    /** Events per encounter with limits from the law of rare events (Poisson). */
    U("Events per intubation with limits") {
        @Override
        Answer<Lines> judge(Quantity quantity, List<Point> points, Baseline baseline) {
            return UChart.of(rates(points), baseline).map(u -> Lines.of(u.chart(), reach(u)));
        }
    },
    /** The same with limits widened for points that scatter more than chance alone gives. */
    U_PRIME("Events per intubation with limits widened for scatter (u′)") {
        @Override
        Answer<Lines> judge(Quantity quantity, List<Point> points, Baseline baseline) {
            return LaneyChart.ofRates(rates(points), baseline).map(laney -> Lines.of(laney.chart(), Reach.NOT_ASKED));
        }
    },
    /** Events in groups of as many encounters each, with limits from the law of rare events (Poisson). */
    C("Events in groups of equal size with limits (c)") {
        @Override
        Answer<Lines> judge(Quantity quantity, List<Point> points, Baseline baseline) {
            Reach reach = UChart.of(rates(points), baseline)
                    .toOptional()
                    .map(ChartKind::reach)
                    .orElse(Reach.NOT_ASKED);
            return CChart.of(values(points), baseline).map(c -> Lines.of(c.chart(), reach));
        }
    },
    /** Points about their median, without limits. */
    RUN("Run chart about the median") {
        @Override
        Answer<Lines> judge(Quantity quantity, List<Point> points, Baseline baseline) {
            Series values = values(points);
            return RunChart.of(values, baseline)
                    .fold(
                            ok -> Answer.ok(
                                    new Lines(bare(values), ok.value().median(), false, Reach.NOT_ASKED),
                                    ok.cautions()),
                            refused -> Answer.refused(refused.reason(), refused.shown()));
        }

        @Override
        Answer<Lines> judgeBy(Quantity quantity, List<Point> kept, List<Point> points, int within) {
            double median = Sample.of(values(kept).present()).median();
            return RunChart.about(median, values(points))
                    .map(run -> new Lines(bare(values(points)), median, false, Reach.NOT_ASKED));
        }
    },
    /** Every point as a single value, limits from the distances between neighbours. */
    XMR("Single values with limits from their scatter (XmR)") {
        @Override
        Answer<Lines> judge(Quantity quantity, List<Point> points, Baseline baseline) {
            return quantity.singles(values(points), baseline).map(chart -> Lines.of(chart, Reach.NOT_ASKED));
        }
    },
    /** A moving average of the proportions, judged by an average from before. */
    EWMA("Moving average against the kept one (EWMA)") {
        @Override
        Answer<Lines> judge(Quantity quantity, List<Point> points, Baseline baseline) {
            List<Proportion> all = proportions(points);
            Proportion before = sum(all.subList(0, baseline.last()));
            if (before.isEmpty()) {
                return Answer.refused(Reason.NO_DATA, Shown.NOTHING.withPoints(values(points)));
            } else if (before.x() == 0 || before.failures() == 0) {
                return Answer.refused(Reason.NO_VARIATION, Shown.NOTHING.withPoints(values(points)));
            }
            double p0 = before.value();
            return Ewma.ofProportions(all, p0, EwmaDesign.DEFAULT)
                    .then(ewma -> baseline.last() == points.size()
                            ? Answer.refused(
                                    Reason.SINGLE_GROUP,
                                    Shown.NOTHING.withEstimate(p0).withPoints(plotted(ewma.points())))
                            : Answer.ok(new Lines(after(ewma.points(), baseline), p0, false, Reach.NOT_ASKED)));
        }

        /** Its own points begin anew at the kept average: those of before are in it already. */
        @Override
        Answer<Lines> judgeBy(Quantity quantity, List<Point> kept, List<Point> points, int within) {
            Proportion before = sum(proportions(kept));
            if (before.x() == 0 || before.failures() == 0) {
                return Answer.refused(Reason.NO_VARIATION, Shown.NOTHING.withPoints(values(points)));
            }
            return Ewma.ofProportions(proportions(points), before.value(), EwmaDesign.DEFAULT)
                    .map(ewma -> new Lines(
                            after(ewma.points(), new Baseline(1, within)), before.value(), false, Reach.NOT_ASKED));
        }

        /** The points that set the average are not judged by it. */
        private List<ChartPoint> after(List<ChartPoint> points, Baseline baseline) {
            return points.stream()
                    .map(point -> baseline.holds(point.number()) ? bare(point.number(), point.value()) : point)
                    .toList();
        }
    },
    /** Cases between one event and the next. */
    G("Intubations between one and the next (g)") {
        @Override
        Answer<Lines> judge(Quantity quantity, List<Point> points, Baseline baseline) {
            return GChart.of(values(points), baseline, GChart.Kind.PROBABILITY)
                    .map(g -> Lines.of(g.chart(), Reach.NOT_ASKED));
        }

        @Override
        Answer<Estimate> together(Measure measure, List<Point> points) {
            return GChart.centre(values(points), Confidence.DEFAULT);
        }
    },
    /** Days between one event and the next. */
    T("Days between one and the next (t)") {
        @Override
        Answer<Lines> judge(Quantity quantity, List<Point> points, Baseline baseline) {
            return TChart.of(values(points), baseline).map(t -> Lines.of(t.chart(), Reach.NOT_ASKED));
        }

        @Override
        Answer<Estimate> together(Measure measure, List<Point> points) {
            return TChart.centre(values(points), Confidence.DEFAULT);
        }
    };

    private final String title;

    ChartKind(String title) {
        this.title = title;
    }

    /**
     * What the points are judged by.
     *
     * @param points each with its limits, if it has any
     * @param centre the line they stand about
     * @param provisional whether the limits rest on few points
     */
    record Lines(List<ChartPoint> points, double centre, boolean provisional, Reach reach) {
        /** Without the first of the points, which only set the lines. */
        private Lines from(int first) {
            return new Lines(points.subList(first, points.size()), centre, provisional, reach);
        }

        private static Lines of(ControlChart chart, Reach reach) {
            return new Lines(chart.points(), chart.centre(), chart.provisional(), reach);
        }
    }

    /** Judges the complete points; those of the baseline set the lines. */
    abstract Answer<Lines> judge(Quantity quantity, List<Point> points, Baseline baseline);

    /**
     * Judges points by the lines that kept ones set.
     *
     * @param kept points as they stood when they were kept; they are not drawn
     * @param within so many of the first points lie in the period that was kept
     */
    Answer<Lines> judgeBy(Quantity quantity, List<Point> kept, List<Point> points, int within) {
        List<Point> all = Stream.concat(kept.stream(), points.stream()).toList();
        return judge(quantity, all, Baseline.all(kept.size()))
                .fold(
                        ok -> Answer.ok(ok.value().from(kept.size()), ok.cautions()),
                        refused -> Answer.refused(
                                refused.reason(),
                                Shown.NOTHING
                                        .withEstimate(refused.shown().estimate())
                                        .withPoints(values(points))));
    }

    /**
     * What the complete points tell together, with its 95 % interval: of groups all their cases, of what lies between two events the
     * line that they set.
     */
    Answer<Estimate> together(Measure measure, List<Point> points) {
        return Quantity.of(measure).estimate(Chart.judged(points));
    }

    /** The line that complete points stand about, or none. */
    OptionalDouble centre(Quantity quantity, List<Point> points) {
        return judge(quantity, points, Baseline.all(points.size()))
                .fold(
                        ok -> OptionalDouble.of(ok.value().centre()),
                        refused -> refused.shown().estimate());
    }

    static Optional<ChartKind> named(String id) {
        return Arrays.stream(values()).filter(kind -> kind.id().equals(id)).findFirst();
    }

    /** The kind that a measure is drawn as where none is asked for. */
    static ChartKind usual(Measure measure) {
        return measure.shape() == Measure.Shape.PROPORTION && !measure.ofKit()
                ? P
                : named(measure.charts().get(0)).orElseThrow();
    }

    /** Whether single encounters of a measure can be drawn, one by one. */
    static boolean oneByOne(Measure measure) {
        return measure.shape() == Measure.Shape.PROPORTION && !measure.ofKit();
    }

    /** What a measure is drawn as, in a sentence. */
    static String offer(Measure measure) {
        List<String> ids = Stream.concat(
                        Arrays.stream(values())
                                .filter(kind -> kind.fits(measure))
                                .map(ChartKind::id),
                        oneByOne(measure) ? Stream.of(Proposal.STRIP, "cusum") : Stream.of())
                .toList();
        int last = ids.size() - 1;
        return "This measure is drawn as " + (last == 0 ? "" : String.join(", ", ids.subList(0, last)) + " or ")
                + ids.get(last) + ".";
    }

    String id() {
        return name().toLowerCase(Locale.ROOT);
    }

    String title() {
        return title;
    }

    /** Whether a point stands for a group of cases; else it is what lies between two events. */
    boolean grouped() {
        return this != G && this != T;
    }

    /** Whether every point must stand for as many encounters. */
    boolean equalGroups() {
        return this == C;
    }

    /** Whether runs about the median mean anything: the points of a moving average always follow one another. */
    boolean hasRuns() {
        return this != EWMA;
    }

    /** Whether it says something about a measure: events are counted only where it is known which outcome is unwanted. */
    boolean fits(Measure measure) {
        if (measure.ofKit()) {
            return measure.charts().contains(id());
        }
        return switch (measure.shape()) {
            case PROPORTION ->
                this != U
                        && this != U_PRIME
                        && this != C
                        && (grouped() || measure.direction() != Measure.Direction.NONE);
            case RATE -> this == U || this == U_PRIME || this == C || this == RUN || this == XMR;
            case VALUE -> this == RUN || this == XMR;
            case BETWEEN -> this == usual(measure);
        };
    }

    /** The values of the complete points; the others are gaps. */
    static Series values(List<Point> points) {
        return Series.numbered(points.size(), number -> {
            Point point = points.get(number - 1);
            Double value = point.value();
            return point.complete() && value != null ? OptionalDouble.of(value) : OptionalDouble.empty();
        });
    }

    private static List<Proportion> proportions(List<Point> points) {
        return points.stream()
                .map(point -> point.complete()
                        ? new Proportion(point.counted().x(), point.counted().n())
                        : new Proportion(0, 0))
                .toList();
    }

    /** The same for events and for events per encounter: groups of one size differ in units alone. */
    private static Reach reach(UChart chart) {
        return new Reach(0, 0, chart.lowerUnreachable().size(), chart.casesToReachLower());
    }

    private static Proportion sum(List<Proportion> all) {
        return all.stream()
                .reduce(new Proportion(0, 0), (one, two) -> new Proportion(one.x() + two.x(), one.n() + two.n()));
    }

    private static List<Rate> rates(List<Point> points) {
        return points.stream()
                .map(point -> point.complete()
                        ? new Rate(point.counted().x(), point.counted().n())
                        : new Rate(0, 0))
                .toList();
    }

    private static Series plotted(List<ChartPoint> points) {
        return Series.numbered(points.size(), number -> points.get(number - 1).value());
    }

    private static List<ChartPoint> bare(Series values) {
        return IntStream.rangeClosed(1, values.size())
                .mapToObj(number -> bare(number, values.at(number)))
                .toList();
    }

    private static ChartPoint bare(int number, OptionalDouble value) {
        return new ChartPoint(number, value, Optional.empty(), Signal.NONE);
    }
}
