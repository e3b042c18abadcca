package airway.registry.charts;

import airway.registry.cohort.Measure;
import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Interval;
import airway.stats.Proportion;
import airway.stats.Rate;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Series;
import airway.stats.Shown;
import airway.stats.chart.Baseline;
import airway.stats.chart.ControlChart;
import airway.stats.chart.LogXmrChart;
import airway.stats.chart.XmrChart;
import airway.stats.interval.MedianInterval;
import airway.stats.interval.ProportionInterval;
import airway.stats.interval.RateInterval;
import airway.stats.survival.KaplanMeier;
import airway.stats.survival.Observation;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** What a point of cases stands for: how it is estimated, and how it is told to people. */
enum Quantity {
    /** A share of encounters, from 0 to 1. */
    PROPORTION(1) {
        @Override
        Answer<Estimate> estimate(Counted counted) {
            return ProportionInterval.WILSON.of(new Proportion(counted.x(), counted.n()), Confidence.DEFAULT);
        }

        @Override
        String of(double value, long n) {
            return Percent.of(value, n);
        }

        @Override
        String count(Counted counted) {
            return Percent.count(counted);
        }

        @Override
        Scale scale(double highest) {
            return Scale.PROPORTION;
        }
    },
    /** Events per encounter. */
    RATE(Double.POSITIVE_INFINITY) {
        @Override
        Answer<Estimate> estimate(Counted counted) {
            return RateInterval.exact(new Rate(counted.x(), counted.n()), Confidence.DEFAULT);
        }

        @Override
        String of(double value, long n) {
            return String.format(Locale.ROOT, "%.2f", value);
        }

        @Override
        String count(Counted counted) {
            if (counted.n() == 0) {
                return "none";
            }
            String count = counted.x() + (counted.x() == 1 ? " event" : " events") + " in " + counted.n();
            return counted.n() < Percent.FEWEST
                    ? count
                    : count + " (" + of((double) counted.x() / counted.n(), counted.n()) + " per intubation)";
        }

        @Override
        Scale scale(double highest) {
            return Scale.upTo(highest, FINEST_RATE);
        }
    },
    /** Events in a group of encounters: every group is as large. */
    COUNT(Double.POSITIVE_INFINITY) {
        @Override
        Answer<Estimate> estimate(Counted counted) {
            return RateInterval.exact(new Rate(counted.x(), counted.n() == 0 ? 0 : 1), Confidence.DEFAULT);
        }

        @Override
        String of(double value, long n) {
            return figure(value);
        }

        @Override
        String count(Counted counted) {
            return RATE.count(counted);
        }

        @Override
        Scale scale(double highest) {
            return Scale.upTo(highest, 1);
        }
    },
    /** A saturation in %, from 0 to 100. */
    SATURATION(100) {
        @Override
        Answer<Estimate> estimate(Counted counted) {
            return median(counted);
        }

        @Override
        String of(double value, long n) {
            return figure(value) + "%";
        }

        @Override
        String count(Counted counted) {
            return middle(counted, "SpO2 ");
        }

        @Override
        Scale scale(double highest) {
            return Scale.SATURATION;
        }
    },
    /** A time in seconds, above 0; with a long tail, so that its single values are charted by their logarithms. */
    SECONDS(Double.POSITIVE_INFINITY) {
        @Override
        Answer<Estimate> estimate(Counted counted) {
            return median(counted);
        }

        @Override
        Answer<ControlChart> singles(Series values, Baseline baseline) {
            return LogXmrChart.of(values, baseline).map(LogXmrChart::chart);
        }

        @Override
        String of(double value, long n) {
            return figure(value) + " s";
        }

        @Override
        String count(Counted counted) {
            return middle(counted, "");
        }

        @Override
        Scale scale(double highest) {
            return Scale.upTo(highest, 1);
        }
    },
    /** Days until something is over, counted in whole hours; some are not over yet. */
    DAYS(Double.POSITIVE_INFINITY) {
        @Override
        Answer<Estimate> estimate(Counted counted) {
            List<Observation> watched = new ArrayList<>();
            watched(counted.values(), true, watched);
            watched(counted.waiting(), false, watched);
            return KaplanMeier.of(watched, Confidence.DEFAULT).then(Quantity::median);
        }

        @Override
        Answer<ControlChart> singles(Series values, Baseline baseline) {
            return LogXmrChart.of(values, baseline).map(LogXmrChart::chart);
        }

        @Override
        String of(double value, long n) {
            return String.format(Locale.ROOT, "%.1f d", value);
        }

        @Override
        String count(Counted counted) {
            if (counted.n() == 0) {
                return "none";
            }
            Double value = value(counted);
            return counted.x() + " of " + counted.n() + " ready again"
                    + (counted.n() < Percent.FEWEST
                            ? ""
                            : value == null ? ", no median yet" : ", median " + of(value, counted.n()));
        }

        @Override
        Scale scale(double highest) {
            return Scale.upTo(highest, 1);
        }
    };

    private static final double FINEST_RATE = 0.1;
    private static final double HOURS_A_DAY = 24;

    private final double most;

    Quantity(double most) {
        this.most = most;
    }

    static Quantity of(Measure measure) {
        return switch (measure.shape()) {
            case PROPORTION, BETWEEN -> PROPORTION;
            case RATE -> RATE;
            case VALUE ->
                measure == Measure.SPO2_LOW_MEDIAN ? SATURATION : measure == Measure.BLADE_TURNAROUND ? DAYS : SECONDS;
        };
    }

    /** What was counted, with its 95 % interval; refused, with the bare value, where there are too few for an interval. */
    abstract Answer<Estimate> estimate(Counted counted);

    /** A value on its own scale: "65%", "0.31", "27.5 s". */
    abstract String of(double value, long n);

    /** What was counted, in words: "28 of 43 (65%)", "13 events in 42 (0.31 per intubation)", "SpO2 86% (median of 14)". */
    abstract String count(Counted counted);

    /** The height of a chart that holds the highest value. */
    abstract Scale scale(double highest);

    /** Every point as a single value, limits from the distances between neighbours. */
    Answer<ControlChart> singles(Series values, Baseline baseline) {
        return XmrChart.of(values, baseline, new Interval(0, most)).map(XmrChart::chart);
    }

    /** "50% to 78%". */
    String interval(Estimate estimate, long n) {
        return of(estimate.lower(), n) + " to "
                + (Double.isInfinite(estimate.upper()) ? "not known" : of(estimate.upper(), n));
    }

    /** Whether a point is the middle of values, and no count over a count. */
    boolean isMedian() {
        return this == SATURATION || this == SECONDS || this == DAYS;
    }

    /** Whether x counts something: of plain values there is nothing beside n. */
    boolean hasEvents() {
        return !isMedian() || this == DAYS;
    }

    /** The estimate with its interval, or null where there is none. */
    @Nullable
    Estimate interval(Counted counted) {
        return estimate(counted).toOptional().orElse(null);
    }

    /** The bare value, or null without a case. */
    @Nullable
    Double value(Counted counted) {
        return estimate(counted)
                .<@Nullable Double>fold(
                        ok -> ok.value().value(),
                        refused -> refused.shown().estimate().isPresent()
                                ? (Double) refused.shown().estimate().getAsDouble()
                                : null);
    }

    private static Answer<Estimate> median(Counted counted) {
        return MedianInterval.of(Sample.of(counted.values().sorted()), Confidence.DEFAULT)
                .map(MedianInterval::estimate);
    }

    private static void watched(Histogram hours, boolean over, List<Observation> watched) {
        hours.counts().forEach((value, times) -> {
            for (long i = 0; i < times; i++) {
                watched.add(new Observation(value / HOURS_A_DAY, over));
            }
        });
    }

    /** The median of a curve; an upper limit that the curve does not come down to is infinite. */
    private static Answer<Estimate> median(KaplanMeier curve) {
        if (curve.median().isEmpty()) {
            return Answer.refused(Reason.TOO_FEW_OBSERVATIONS, Shown.NOTHING.withN(curve.n()));
        }
        double median = curve.median().getAsDouble();
        if (curve.medianLower().isEmpty()) {
            return Answer.refused(
                    Reason.TOO_FEW_OBSERVATIONS, Shown.NOTHING.withN(curve.n()).withEstimate(median));
        }
        return Answer.ok(Estimate.of(
                median, curve.medianLower().getAsDouble(), curve.medianUpper().orElse(Double.POSITIVE_INFINITY)));
    }

    String middle(Counted counted, String what) {
        Double value = value(counted);
        return value == null ? "none" : what + of(value, counted.n()) + " (median of " + counted.n() + ")";
    }

    /** Whole where it is whole: the middle of two neighbours may be a half, a limit anything. */
    private static String figure(double value) {
        return String.format(Locale.ROOT, value == Math.rint(value) ? "%.0f" : "%.1f", value);
    }
}
