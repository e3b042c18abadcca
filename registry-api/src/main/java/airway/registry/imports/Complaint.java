package airway.registry.imports;

/**
 * One thing to mend in a row.
 *
 * @param column the column it comes from, or a pointer into the record where no one column does
 * @param code stable word for programs
 * @param mend what to do about it; never repeats what the file says
 */
public record Complaint(String column, String code, String mend) {}
