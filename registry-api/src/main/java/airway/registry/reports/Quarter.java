package airway.registry.reports;

import airway.registry.problem.Problem;
import java.time.LocalDate;
import java.time.YearMonth;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * A quarter of the calendar.
 *
 * @param from its first month
 */
record Quarter(YearMonth from) implements Comparable<Quarter> {
    /** Months that are counted for a report: the year up to the end of the quarter, and the year before. */
    static final int MONTHS_COUNTED = 24;

    private static final int MONTHS_OF_A_YEAR = 12;
    private static final Pattern CODE = Pattern.compile("((?:19[5-9]|20\\d|21[0-4])\\d)-Q([1-4])");
    private static final DateTimeFormatter MONTH = DateTimeFormatter.ofPattern("MMMM", Locale.ENGLISH);
    private static final DateTimeFormatter MONTH_OF_YEAR = DateTimeFormatter.ofPattern("MMMM yyyy", Locale.ENGLISH);

    /**
     * Reads a code as 2026-Q3.
     *
     * @throws Problem.NoQuarter if it is none, or of a year before 1950 or after 2149
     */
    static Quarter parse(String code) {
        Matcher form = CODE.matcher(code);
        if (!form.matches()) {
            throw new Problem.NoQuarter();
        }
        return new Quarter(YearMonth.of(Integer.parseInt(form.group(1)), Integer.parseInt(form.group(2)) * 3 - 2));
    }

    /** The quarter that holds a day. */
    static Quarter of(LocalDate day) {
        return new Quarter(YearMonth.of(day.getYear(), (day.getMonthValue() - 1) / 3 * 3 + 1));
    }

    static Quarter starting(LocalDate firstDay) {
        return of(firstDay);
    }

    Quarter before() {
        return new Quarter(from.minusMonths(3));
    }

    LocalDate firstDay() {
        return from.atDay(1);
    }

    /** The last month. */
    YearMonth to() {
        return from.plusMonths(2);
    }

    /** The first month that is counted for the report. */
    YearMonth counted() {
        return to().minusMonths(MONTHS_COUNTED - 1L);
    }

    /** The first month of the year that ends with the quarter. */
    YearMonth year() {
        return to().minusMonths(MONTHS_OF_A_YEAR - 1L);
    }

    boolean begun(LocalDate today) {
        return !firstDay().isAfter(today);
    }

    boolean over(LocalDate today) {
        return !from.plusMonths(3).atDay(1).isAfter(today);
    }

    /** As 2026-Q3. */
    String code() {
        return from.getYear() + "-Q" + (from.getMonthValue() + 2) / 3;
    }

    /** As July to September 2026. */
    String words() {
        return MONTH.format(from) + " to " + MONTH_OF_YEAR.format(to());
    }

    /** The last month, as September 2026. */
    String end() {
        return MONTH_OF_YEAR.format(to());
    }

    @Override
    public int compareTo(Quarter other) {
        return from.compareTo(other.from);
    }

    @Override
    public String toString() {
        return code();
    }
}
