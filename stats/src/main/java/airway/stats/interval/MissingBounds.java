package airway.stats.interval;

import airway.stats.Caution;
import airway.stats.Proportion;

/**
 * A share as far as it could lie either way if the outcomes that nobody wrote down were known: none of them a success, or all of
 * them (Manski CF 1990, Am Econ Rev 80:319-323; from memory). Not a confidence interval: it holds no chance, only what is missing.
 *
 * @param least the share had every missing outcome been a failure, in [0, 1]
 * @param most the share had every one been a success, in [0, 1]
 * @param missing cases whose outcome is missing
 * @param asked cases whose outcome is known or missing
 */
public record MissingBounds(double least, double most, long missing, long asked) {

    /** More than this share missing is {@link Caution#MISSING_HIGH} (house rule). */
    public static final double HIGH = 0.10;

    /**
     * The bounds of a share.
     *
     * @param known cases whose outcome is known
     * @param missing cases whose outcome is missing, 0 or more
     * @throws IllegalArgumentException if the number is below 0, or there is no case at all
     */
    public static MissingBounds of(Proportion known, long missing) {
        if (missing < 0) {
            throw new IllegalArgumentException("missing = " + missing + ", must be 0 or more");
        }
        long asked = known.n() + missing;
        if (asked == 0) {
            throw new IllegalArgumentException("known and missing = 0, must be 1 or more together");
        }
        return new MissingBounds((double) known.x() / asked, (double) (known.x() + missing) / asked, missing, asked);
    }

    /** Whether so many are missing that the bounds belong beside the share. */
    public boolean high() {
        return missing > HIGH * asked;
    }
}
