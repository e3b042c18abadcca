package airway.stats.compare;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.Reason;
import airway.stats.numeric.Hypergeometric;

/**
 * Exact tests of two proportions: the two-sided p-value against equal probabilities.
 *
 * <p>A group without cases is refused with {@link Reason#ONE_GROUP_EMPTY}, a table with all successes or all failures with
 * {@link Reason#NO_VARIATION}. A p-value below about 1e-300 comes out as the smallest positive number.
 */
public enum ExactTest {

    /**
     * Fisher's test (Fisher RA 1935, J R Stat Soc 98:39-82, doi:10.2307/2342435; from memory): the probability, given
     * all four margins, of the tables that are no more probable than the one observed; ties within a factor of 1 +
     * 1e-7. Equal to {@code fisher.test} of R. Programs that double one tail differ.
     */
    FISHER {
        @Override
        double p(Table table) {
            return law(table).twoSided(table.first().x());
        }
    },

    /**
     * Fisher's test with the mid-p: {@link #FISHER} less half the probability of the table observed (Hirji KF 2006,
     * Exact Analysis of Discrete Data; Fagerland MW and others 2015, Stat Methods Med Res 24:224-254,
     * doi:10.1177/0962280211415469; both from memory). Less conservative. Programs that double the smaller one-sided
     * mid-p differ.
     */
    FISHER_MIDP {
        @Override
        double p(Table table) {
            Hypergeometric law = law(table);
            return law.twoSided(table.first().x())
                    - law.probability(table.first().x()) / 2;
        }
    },

    /**
     * Boschloo's test (Boschloo RD 1970, Stat Neerl 24:1-9, doi:10.1111/j.1467-9574.1970.tb00104.x; Lydersen S,
     * Fagerland MW, Laake P 2009, Stat Med 28:1159-1175, doi:10.1002/sim.3531; both from memory): the tables with a
     * two-sided Fisher p no larger than the observed one, at the common probability of success that makes them most
     * probable. Never above {@link #FISHER}, and keeps the level without conditioning.
     *
     * <p>For up to 10 000 cases in each group, where an answer takes less than a second; with more, {@link ChiSquare} is
     * close (at 6 000 and 5 900 of 10 000 the two differ by less than 0.002). The maximum is sought over the whole of [0, 1],
     * without the restriction of Berger and Boos. Programs that double the one-sided test agree for groups of equal size and
     * differ for others.
     */
    BOSCHLOO {
        @Override
        double p(Table table) {
            return Boschloo.of(table).largest();
        }
    };

    /**
     * The two-sided p-value.
     *
     * @param first successes among cases of the first group
     * @param second successes among cases of the second group
     * @throws IllegalArgumentException for {@link #BOSCHLOO} with more than 10 000 cases in a group
     */
    public Answer<Double> of(Proportion first, Proportion second) {
        Table table = new Table(first, second);
        return table.unlessEmpty(() -> Answer.ok(Math.max(Double.MIN_VALUE, Math.min(1, p(table)))));
    }

    abstract double p(Table table);

    private static Hypergeometric law(Table table) {
        return Hypergeometric.of(table.first().n(), table.second().n(), table.successes(), 1);
    }
}
