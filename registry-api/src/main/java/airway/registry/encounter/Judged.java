package airway.registry.encounter;

/** The record of a row of a source, judged like a new record and found good; not kept yet. */
public final class Judged {
    private final Encounter encounter;
    private final String sourceRow;

    Judged(Encounter encounter, String sourceRow) {
        this.encounter = encounter;
        this.sourceRow = sourceRow;
    }

    Encounter encounter() {
        return encounter;
    }

    /** Name of the source and key of the row. */
    public String sourceRow() {
        return sourceRow;
    }
}
