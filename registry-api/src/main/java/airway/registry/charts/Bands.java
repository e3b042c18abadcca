package airway.registry.charts;

import airway.registry.cohort.Stratum;
import java.util.List;
import java.util.Map;

/**
 * First attempts of a unit by what kind of people made them, where these are enough to hide each of them. Only first attempts
 * whose operator is known count, since only these tell how many people there were.
 *
 * @param of the bands of each variable, in the order of its codes
 */
record Bands(Question question, Map<Stratum, List<Band>> of) {
    /** The variables that make the bands. */
    static final List<Stratum> BY = List.of(Stratum.OPERATOR_EXPERIENCE, Stratum.OPERATOR_SETUP_USES);

    /** Fewer people than this are not shown together. Source: the registry's table of minimum numbers. */
    static final int FEWEST_PEOPLE = 5;

    /** Nor are more, where one of them made more than this share of the first attempts. Source: as above. */
    static final double LARGEST_SHARE = 0.8;

    /**
     * One band.
     *
     * @param counted first attempts whose operator is known; left out are those where that is not known
     * @param people operators
     * @param most first attempts of the one with the most
     */
    record Band(String code, String label, Counted counted, int people, long most) {
        boolean shown() {
            return people >= FEWEST_PEOPLE && most <= LARGEST_SHARE * counted.n();
        }
    }
}
