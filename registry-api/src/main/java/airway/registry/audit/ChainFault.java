package airway.registry.audit;

import java.util.Locale;

/**
 * Where the chain, or what is kept of it outside, does not hold.
 *
 * @param place number of the seal, of the entry or of the line of the heads, as the kind says
 * @param more a second number: the entry of a seal, or the seal that a line names; 0 where there is none
 */
public record ChainFault(Kind kind, long place, long more) {
    /** What can be wrong. */
    public enum Kind {
        /** The seal of this number is not there, though later ones are. */
        SEAL_MISSING,
        /** The seal does not follow the one before it. */
        OUT_OF_ORDER,
        /** The sealed entry is not there. */
        ENTRY_MISSING,
        /** The entry, or its seal, is not what was sealed. */
        CHANGED,
        /** The entry claims a time long before entries that were sealed earlier. */
        DATED_BACK,
        /** The entry was put in without being put on the list of those to be sealed, or its seal was removed. */
        NEVER_SEALED,
        /** The entry waited to be sealed and is gone. */
        WAITING_MISSING,
        /** The head outside names a seal that is not there: the end of the chain was removed. */
        END_MISSING,
        /** The head outside has another hash than the chain. */
        HEAD_DIFFERS,
        /** The line of the heads cannot be read. */
        HEAD_UNREADABLE
    }

    /** As stored in the audit and sent. */
    public String code() {
        return kind.name().toLowerCase(Locale.ROOT);
    }

    /** The fault as a sentence. */
    public String words() {
        String seal = "Audit, seal " + place;
        String entry = seal + " (entry " + more + ")";
        String alone = "Audit, entry " + place;
        String line = "Heads of the audit, line " + place;
        return switch (kind) {
            case SEAL_MISSING -> seal + ": it is missing, though later ones are there.";
            case OUT_OF_ORDER -> entry + ": it does not follow the one before it; seals were reordered or replaced.";
            case ENTRY_MISSING -> entry + ": the entry was removed after it was sealed.";
            case CHANGED -> entry + ": the entry or its seal was changed after it was sealed.";
            case DATED_BACK ->
                entry
                        + ": the entry is dated more than a day before entries sealed earlier; it was put in later, or the"
                        + " clock of the database was set back.";
            case NEVER_SEALED ->
                alone + ": it is not sealed and does not wait to be; it was put in, or its seal removed.";
            case WAITING_MISSING -> alone + ": it waited to be sealed and is gone.";
            case END_MISSING ->
                line + ": it names seal " + more + ", which is not there; the end of the audit is missing.";
            case HEAD_DIFFERS ->
                line + ": it does not fit seal " + more + "; the audit up to there, or the line, was replaced.";
            case HEAD_UNREADABLE -> line + ": it cannot be read; it was changed.";
        };
    }
}
