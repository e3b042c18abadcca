package airway.registry.charts;

import airway.registry.cohort.Stratum;
import airway.stats.Confidence;
import airway.stats.Proportion;
import airway.stats.interval.DifferenceInterval;
import airway.stats.strata.StandardisedDifference;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * Whether the kind of cases differs between the first phase of a chart and the latest. A difference in the outcome can then be
 * one of the cases.
 */
final class CaseMix {
    /** What makes an intubation harder or easier, and is known beforehand. */
    static final List<Stratum> LOOKED_AT = List.of(
            Stratum.AGE_BAND,
            Stratum.DIFFICULTY_PREDICTED,
            Stratum.OPERATOR_EXPERIENCE,
            Stratum.URGENCY,
            Stratum.INDICATION_MAIN);

    /** The shifts told at most: the largest. */
    private static final int MOST = 3;

    private CaseMix() {}

    /** How often an answer was given in the first phase and in the latest. */
    record Share(Stratum stratum, String code, Proportion before, Proportion after) {
        String label() {
            return stratum.label(code);
        }

        private double size() {
            return StandardisedDifference.ofProportions(before, after)
                    .toOptional()
                    .map(difference -> Math.abs(difference.value()))
                    .orElse(0.0);
        }

        /** Imbalanced (see there for the source), and by more than chance gives. */
        private boolean shifted() {
            return StandardisedDifference.ofProportions(before, after)
                            .toOptional()
                            .filter(StandardisedDifference::imbalanced)
                            .isPresent()
                    && DifferenceInterval.NEWCOMBE
                            .of(after, before, Confidence.DEFAULT)
                            .toOptional()
                            .filter(gap -> gap.lower() > 0 || gap.upper() < 0)
                            .isPresent();
        }
    }

    /** The answers whose share differs by more than chance gives, the largest difference first. */
    static List<Share> shifts(List<Share> shares) {
        List<Share> shifts = new ArrayList<>(shares);
        shifts.removeIf(share -> !share.shifted());
        shifts.sort(Comparator.comparingDouble(Share::size).reversed());
        return List.copyOf(shifts.subList(0, Math.min(MOST, shifts.size())));
    }
}
