package airway.registry.imports;

/**
 * One thing to mend in a row.
 *
 * @param column the column it comes from, or a pointer into the record where no one column does; empty for the whole row
 * @param field the variable it is about, or empty
 * @param code stable word for programs
 * @param mend what to do about it; never repeats what the file says
 */
public record Complaint(String column, String field, String code, String mend) {}
