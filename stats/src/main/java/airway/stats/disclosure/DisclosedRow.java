package airway.stats.disclosure;

import java.util.List;

/**
 * A row of a list that may leave.
 *
 * @param patient whose it is; one patient may have several rows
 * @param quasiIdentifiers what an outsider could know of it, always in the same order
 * @param sensitive what must not be learnt from it
 */
public record DisclosedRow(String patient, List<String> quasiIdentifiers, String sensitive) {

    /** A row, with a copy of what could be known. */
    public DisclosedRow {
        quasiIdentifiers = List.copyOf(quasiIdentifiers);
    }
}
