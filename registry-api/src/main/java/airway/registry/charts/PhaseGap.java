package airway.registry.charts;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.Rate;
import airway.stats.Sample;
import airway.stats.compare.Shift;
import airway.stats.interval.DifferenceInterval;
import airway.stats.interval.RateRatio;
import java.util.Locale;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * How far the latest phase of a chart lies from its first, over the complete points of each.
 *
 * @param scale how it is told
 * @param estimate with its 95 % interval
 */
record PhaseGap(Scale scale, Estimate estimate) {
    /** How two phases are held against each other. */
    enum Scale {
        /** Of proportions: the later less the earlier; the interval of Newcombe. */
        DIFFERENCE(0) {
            @Override
            Answer<Estimate> of(Counted after, Counted before) {
                return DifferenceInterval.NEWCOMBE.of(
                        new Proportion(after.x(), after.n()),
                        new Proportion(before.x(), before.n()),
                        Confidence.DEFAULT);
            }
        },
        /** Of rates: the later over the earlier; exact for Poisson counts. */
        RATIO(1) {
            @Override
            Answer<Estimate> of(Counted after, Counted before) {
                return RateRatio.exact(
                                new Rate(after.x(), after.n()), new Rate(before.x(), before.n()), Confidence.DEFAULT)
                        .map(RateRatio::estimate);
            }
        },
        /** Of values: the middle of all differences between one of the later and one of the earlier (Hodges and Lehmann). */
        SHIFT(0) {
            @Override
            Answer<Estimate> of(Counted after, Counted before) {
                return Shift.of(
                                Sample.of(after.values().sorted()),
                                Sample.of(before.values().sorted()),
                                Confidence.DEFAULT)
                        .map(Shift::estimate);
            }
        };

        private final double same;

        Scale(double same) {
            this.same = same;
        }

        abstract Answer<Estimate> of(Counted after, Counted before);

        String code() {
            return name().toLowerCase(Locale.ROOT);
        }

        /** Null where no method here gives an interval: of times that may not be over yet. */
        private static @Nullable Scale of(Quantity quantity) {
            return switch (quantity) {
                case PROPORTION -> DIFFERENCE;
                case RATE, COUNT -> RATIO;
                case SATURATION, SECONDS -> SHIFT;
                case DAYS -> null;
            };
        }
    }

    /** Empty with one phase, with under five cases in either, and where it cannot be computed. */
    static Optional<PhaseGap> of(Chart chart) {
        Scale scale = Scale.of(chart.request().quantity());
        if (scale == null || !chart.request().kind().grouped() || chart.phases().size() < 2) {
            return Optional.empty();
        }
        Counted before = chart.judged(chart.phases().get(0));
        Counted after = chart.judged(chart.latest());
        if (before.n() < Percent.FEWEST || after.n() < Percent.FEWEST) {
            return Optional.empty();
        }
        return scale.of(after, before).toOptional().map(estimate -> new PhaseGap(scale, estimate));
    }

    /** Whether the interval holds that nothing differs. */
    boolean holdsNone() {
        return estimate.lower() <= scale.same && estimate.upper() >= scale.same;
    }
}
