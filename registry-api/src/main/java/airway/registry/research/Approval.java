package airway.registry.research;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * What was approved, exactly.
 *
 * @param levels how fine each variable is told
 * @param rare values that are told as other, by variable
 * @param matching records that matched
 * @param allowed those of them that may leave
 * @param removed rows left out because a child would stand out
 * @param acceptedLoss the largest loss of a group in percent, where it is over a tenth
 * @param heldAgainst earlier packages of the unit that it was held against
 * @param digest SHA-256 of rows and report on the risk, in hexadecimal
 * @param cutOff when the records were read
 * @param head how far the chain over the audit had come; null where nothing was sealed
 */
record Approval(
        List<Integer> levels,
        Map<String, Set<String>> rare,
        int matching,
        int allowed,
        int removed,
        @Nullable Integer acceptedLoss,
        int heldAgainst,
        String digest,
        Instant cutOff,
        @Nullable Head head) {
    /** A place in the chain over the audit. */
    record Head(long seq, String hash) {}
}
