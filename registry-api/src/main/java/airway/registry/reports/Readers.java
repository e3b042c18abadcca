package airway.registry.reports;

import airway.registry.cohort.Measure;

/**
 * Who reads a paper, and so what may be printed in it: the one place where a report hides small cells.
 *
 * <p>Inside the unit people see the records themselves, and hiding would protect nobody. What leaves the unit tells whole years
 * alone, and no count from 1 to 4 on either side of a share: neither directly nor by its percentage, its interval or its drawing.
 */
enum Readers {
    UNIT("unit"),
    BOARD("board");

    /** Below this number a count is not printed outside the unit, inside the organisation. */
    static final int SMALLEST_CELL = 5;

    private final String code;

    Readers(String code) {
        this.code = code;
    }

    String code() {
        return code;
    }

    /** Whether counts of a single quarter, drawings of months and of single intubations are printed. */
    boolean seeSpansUnderAYear() {
        return this == UNIT;
    }

    /** Whether a share may be printed. */
    boolean mayPrint(Measure measure, Tally tally) {
        long unwanted = measure.unwanted() == 1 ? tally.x() : tally.n() - tally.x();
        boolean everybody = tally.n() > 0 && unwanted == tally.n();
        return this == UNIT || (mayPrint(tally.x()) && mayPrint(tally.n() - tally.x()) && !everybody);
    }

    /** Whether a number of cases may be printed. */
    boolean mayPrint(long cases) {
        return this == UNIT || cases == 0 || cases >= SMALLEST_CELL;
    }

    /** A number of cases, or that it is small. */
    String number(long cases) {
        return mayPrint(cases) ? String.valueOf(cases) : "fewer than " + SMALLEST_CELL;
    }
}
