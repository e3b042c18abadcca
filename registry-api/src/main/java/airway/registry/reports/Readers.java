package airway.registry.reports;

import airway.registry.cohort.Measure;
import airway.registry.release.ToldShares;

/**
 * Who reads a paper, and so what may be printed in it: the one place where a report hides small cells.
 *
 * <p>Inside the unit people see the records themselves, and hiding would protect nobody. What leaves the unit tells whole years
 * alone, and no count from 1 to 4 on either side of a share: neither directly nor by its percentage, its interval or its drawing,
 * nor by what was told before. Other numbers of cases are rounded to fives, or a small one could be worked out from several.
 */
enum Readers {
    UNIT("unit"),
    BOARD("board");

    /** Below this number a count is not printed outside the unit, inside the organisation. */
    static final int SMALLEST_CELL = ToldShares.threshold();

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
        return this == UNIT
                || (mayPrint(tally.x()) && mayPrint(tally.n() - tally.x()) && !everybody && !tally.givesAway());
    }

    /** Whether a number of cases may be printed. */
    boolean mayPrint(long cases) {
        return this == UNIT || cases == 0 || cases >= SMALLEST_CELL;
    }

    /** A number of cases; outside the unit to the nearest five, and zero as a small one. */
    String number(long cases) {
        return this == UNIT
                ? String.valueOf(cases)
                : cases < SMALLEST_CELL ? "fewer than " + SMALLEST_CELL : "about " + 5 * Math.round(cases / 5.0);
    }
}
