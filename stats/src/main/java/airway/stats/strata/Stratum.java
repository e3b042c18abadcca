package airway.stats.strata;

import airway.stats.Proportion;
import java.util.List;

/**
 * Two groups within one stratum, such as two set-ups in infants. Either group may be empty.
 *
 * @param first successes among cases of the first group
 * @param second successes among cases of the second group
 */
public record Stratum(Proportion first, Proportion second) {

    /** Cases of both groups. */
    public long cases() {
        return first.n() + second.n();
    }

    /** Whether both groups have cases, so that they can be compared here. */
    boolean comparable() {
        return !first.isEmpty() && !second.isEmpty();
    }

    /** Whether all four margins are above 0: both groups have cases, and the outcomes differ. */
    boolean informative() {
        return comparable() && successes() > 0 && successes() < cases();
    }

    long successes() {
        return first.x() + second.x();
    }

    /** Both groups as a list. */
    List<Proportion> groups() {
        return List.of(first, second);
    }
}
