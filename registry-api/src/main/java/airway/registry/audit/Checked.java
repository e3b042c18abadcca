package airway.registry.audit;

import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * What verifying the chain gave.
 *
 * @param sealed number of the newest seal
 * @param unsealed how many entries wait to be sealed
 * @param head the last head kept outside; null where none was found
 * @param halfLines lines of the heads that a stop of the machine cut short
 * @param faults what does not hold, the first one of the chain first; empty when all is well
 */
public record Checked(long sealed, long unsealed, @Nullable Head head, int halfLines, List<ChainFault> faults) {
    public Optional<ChainFault> first() {
        return faults.stream().findFirst();
    }

    /** How far the chain reaches, as a sentence. */
    public String words() {
        String sentence = "The audit is sealed up to number " + sealed + "; "
                + (unsealed == 1 ? "1 entry waits" : unsealed + " entries wait") + " to be sealed. ";
        sentence += head == null
                ? "No head is kept outside the database here: a deleted end would not be seen."
                : "The last head kept outside is number " + head.seq() + ".";
        return halfLines == 0
                ? sentence
                : sentence + " Lines of the heads cut short by a stop of the machine: " + halfLines + ".";
    }
}
