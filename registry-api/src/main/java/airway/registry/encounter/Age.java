package airway.registry.encounter;

import java.math.BigDecimal;
import java.math.RoundingMode;

/** An age as people say it, in completed days. */
/*
 * A month is 30.4375 days, a year 365.25, and what is left of a day is dropped: 7 months are 213 days, 1 year is 365.
 * Eighteen years would give 6574 days, one short of the register's adult band (6575), so an age that completes eighteen
 * years is at least its first day. The unit is kept beside the days: an age typed in years is never analysed as days.
 */
enum Age {
    DAYS("1"),
    WEEKS("7"),
    MONTHS("30.4375"),
    YEARS("365.25");

    private static final int ADULT_FROM = 6575;

    private final BigDecimal days;

    Age(String days) {
        this.days = new BigDecimal(days);
    }

    /** Completed days of {@code number} units, number in [0, 9999]. */
    int days(int number) {
        int floor = days.multiply(BigDecimal.valueOf(number))
                .setScale(0, RoundingMode.FLOOR)
                .intValueExact();
        boolean adult = (this == YEARS && number >= 18) || (this == MONTHS && number >= 18 * 12);
        return adult ? Math.max(floor, ADULT_FROM) : floor;
    }

    /** Completed units in a number of days, rounded to the nearest: the way back from {@link #days}. */
    int number(int of) {
        return BigDecimal.valueOf(of).divide(days, 0, RoundingMode.HALF_UP).intValueExact();
    }
}
