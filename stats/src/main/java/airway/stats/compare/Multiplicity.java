package airway.stats.compare;

import airway.stats.Answer;
import airway.stats.Reason;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.OptionalDouble;

/**
 * Adjusts the p-values of a family of questions for their number. The family is fixed before looking. Signals of control
 * charts are not p-values and are not adjusted.
 */
public enum Multiplicity {

    /**
     * The probability of any false rejection is kept (Holm S 1979, Scand J Stat 6:65-70; from memory): the i-th smallest of
     * m p-values times m - i + 1, made to rise, at most 1. For planned comparisons.
     */
    HOLM {
        @Override
        double[] adjustRising(double[] p) {
            double[] adjusted = new double[p.length];
            double largest = 0;
            for (int i = 0; i < p.length; i++) {
                largest = Math.max(largest, (p.length - i) * p[i]);
                adjusted[i] = Math.min(1, largest);
            }
            return adjusted;
        }
    },

    /**
     * The expected share of false ones among the rejections is kept (Benjamini Y, Hochberg Y 1995, J R Stat Soc B
     * 57:289-300, doi:10.1111/j.2517-6161.1995.tb02031.x; from memory): the i-th smallest of m p-values times m/i, made
     * to rise from above, at most 1. For screening.
     */
    BENJAMINI_HOCHBERG {
        @Override
        double[] adjustRising(double[] p) {
            double[] adjusted = new double[p.length];
            double smallest = 1;
            for (int i = p.length - 1; i >= 0; i--) {
                smallest = Math.min(smallest, p[i] * ((double) p.length / (i + 1)));
                adjusted[i] = smallest;
            }
            return adjusted;
        }
    };

    /**
     * The adjusted p-values, in the order given. A missing one stays missing and does not count in the family. Equal to
     * {@code p.adjust} of R.
     *
     * @param pValues p-values, each in [0, 1] or missing
     * @return as many values, or {@link Reason#NO_DATA} if there is none
     * @throws IllegalArgumentException if a p-value is not in [0, 1] or not a number
     */
    public Answer<List<OptionalDouble>> adjust(List<OptionalDouble> pValues) {
        int[] places = places(pValues);
        if (places.length == 0) {
            return Answer.refused(Reason.NO_DATA);
        }
        double[] adjusted = adjustRising(Arrays.stream(places)
                .mapToDouble(place -> pValues.get(place).getAsDouble())
                .toArray());
        List<OptionalDouble> result = new ArrayList<>(pValues);
        for (int i = 0; i < places.length; i++) {
            result.set(places[i], OptionalDouble.of(adjusted[i]));
        }
        return Answer.ok(List.copyOf(result));
    }

    /** Adjusts p-values that are in rising order. */
    abstract double[] adjustRising(double[] p);

    /** Where the p-values stand that are not missing, the smallest first. */
    private static int[] places(List<OptionalDouble> pValues) {
        List<Integer> places = new ArrayList<>();
        for (int i = 0; i < pValues.size(); i++) {
            if (pValues.get(i).isPresent()) {
                double p = pValues.get(i).getAsDouble();
                if (!(p >= 0 && p <= 1)) {
                    throw new IllegalArgumentException("p-value " + (i + 1) + " = " + p + ", must be in [0, 1]");
                }
                places.add(i);
            }
        }
        places.sort(Comparator.comparingDouble(place -> pValues.get(place).getAsDouble()));
        return places.stream().mapToInt(Integer::intValue).toArray();
    }
}
