package airway.stats.compare;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.numeric.BinomialLaw;
import airway.stats.numeric.Hypergeometric;
import java.util.function.DoubleUnaryOperator;

/**
 * Exact tests of two proportions: the two-sided p-value against equal probabilities.
 *
 * <p>A group without cases is refused with {@link Reason#ONE_GROUP_EMPTY}, a table with all successes or all failures with
 * {@link Reason#NO_VARIATION}. A p-value below about 1e-300 comes out as the smallest positive number.
 */
public enum ExactTest {

    /**
     * Fisher's test (Fisher RA 1935, J R Stat Soc 98:39-82; from memory): the probability, given all four margins, of the
     * tables that are no more probable than the one observed; ties within a factor of 1 + 1e-7. Equal to {@code
     * fisher.test} of R. Programs that double one tail differ.
     */
    FISHER {
        @Override
        double p(Table table) {
            return fisher(law(table), table.first().x());
        }
    },

    /**
     * Fisher's test with the mid-p: {@link #FISHER} less half the probability of the table observed (Hirji KF 2006, Exact
     * Analysis of Discrete Data; Fagerland MW and others 2015, Stat Methods Med Res 24:224-254; both from memory). Less
     * conservative. Programs that double the smaller one-sided mid-p differ.
     */
    FISHER_MIDP {
        @Override
        double p(Table table) {
            Hypergeometric law = law(table);
            return fisher(law, table.first().x())
                    - law.probability(table.first().x()) / 2;
        }
    },

    /**
     * Boschloo's test (Boschloo RD 1970, Stat Neerl 24:1-9; Lydersen S, Fagerland MW, Laake P 2009, Stat Med 28:1159-1175;
     * both from memory): the tables with a two-sided Fisher p no larger than the observed one, at the common probability
     * of success that makes them most probable. Never above {@link #FISHER}, and keeps the level without conditioning.
     *
     * <p>For up to 100 cases in each group. The maximum is sought over the whole of [0, 1], without the restriction of
     * Berger and Boos. Programs that double the one-sided test differ.
     */
    BOSCHLOO {
        @Override
        double p(Table table) {
            return boschloo(table);
        }
    };

    private static final double TIE = 1 + 1e-7;
    private static final int MOST_CASES_FOR_BOSCHLOO = 100;
    private static final int GRID = 2_000;

    /**
     * The two-sided p-value.
     *
     * @param first successes among cases of the first group
     * @param second successes among cases of the second group
     * @throws IllegalArgumentException for {@link #BOSCHLOO} with more than 100 cases in a group
     */
    public Answer<Double> of(Proportion first, Proportion second) {
        Table table = new Table(first, second);
        return table.unlessEmpty(() -> Answer.ok(Math.max(Double.MIN_VALUE, Math.min(1, p(table)))));
    }

    abstract double p(Table table);

    private static Hypergeometric law(Table table) {
        return Hypergeometric.of(table.first().n(), table.second().n(), table.successes(), 1);
    }

    private static double fisher(Hypergeometric law, long x) {
        double asProbable = law.probability(x) * TIE;
        return law.sumOf(probability -> probability <= asProbable);
    }

    private static double boschloo(Table table) {
        int n1 = boschlooCases(table.first());
        int n2 = boschlooCases(table.second());
        double asExtreme = fisher(law(table), table.first().x()) * TIE;
        // Given s successes in all, the tables as extreme as the one observed have a probability that does not depend
        // on
        // the common p: it is the largest Fisher p-value for s that does not exceed the observed one.
        int cases = n1 + n2;
        double[] logWeight = new double[cases + 1];
        for (int s = 0; s <= cases; s++) {
            logWeight[s] = Math.log(largestFisher(n1, n2, s, asExtreme)) + BinomialLaw.logChoose(cases, s);
        }
        return maximum(p -> {
            double logSuccess = Math.log(p);
            double logFailure = Math.log1p(-p);
            double sum = 0;
            for (int s = 0; s <= cases; s++) {
                sum += Math.exp(logWeight[s] + s * logSuccess + (cases - s) * logFailure);
            }
            return sum;
        });
    }

    /** The largest Fisher p-value of the tables with so many successes that does not exceed the bound; 0 if all do. */
    private static double largestFisher(int n1, int n2, int successes, double bound) {
        Hypergeometric law = Hypergeometric.of(n1, n2, successes, 1);
        double largest = 0;
        for (long x = Hypergeometric.lowest(n2, successes); x <= Hypergeometric.highest(n1, successes); x++) {
            double p = fisher(law, x);
            largest = p <= bound ? Math.max(largest, p) : largest;
        }
        return largest;
    }

    private static int boschlooCases(Proportion group) {
        if (group.n() > MOST_CASES_FOR_BOSCHLOO) {
            throw new IllegalArgumentException(
                    "n = " + group.n() + ", must be in [0, " + MOST_CASES_FOR_BOSCHLOO + "]");
        }
        return (int) group.n();
    }

    /** The largest value of a smooth function on (0, 1): the best of a grid, then made finer about it by thirds. */
    private static double maximum(DoubleUnaryOperator function) {
        int best = 1;
        for (int i = 2; i < GRID; i++) {
            if (function.applyAsDouble((double) i / GRID) > function.applyAsDouble((double) best / GRID)) {
                best = i;
            }
        }
        double low = (best - 1.0) / GRID;
        double high = (best + 1.0) / GRID;
        while (high - low > 1e-12) {
            double left = low + (high - low) / 3;
            double right = high - (high - low) / 3;
            if (function.applyAsDouble(left) < function.applyAsDouble(right)) {
                low = left;
            } else {
                high = right;
            }
        }
        return function.applyAsDouble((low + high) / 2);
    }
}
