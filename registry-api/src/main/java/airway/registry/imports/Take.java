package airway.registry.imports;

/** What is done with the rows of a table. */
public enum Take {
    /** Every row is judged and nothing is stored. */
    CHECK_ONLY,
    /** One transaction: a row that is rejected keeps all others out. */
    ALL_OR_NOTHING,
    /** Every good row is stored, batch by batch; the others are told. */
    GOOD_ROWS
}
