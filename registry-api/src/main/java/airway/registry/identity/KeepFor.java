package airway.registry.identity;

import airway.sql.CannotStart;
import java.time.Clock;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.Period;
import java.time.ZoneOffset;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Component;

/** How long a hospital number is kept after its record was made: the setting {@code airway.identity.keep-for}. */
@Component
class KeepFor {
    private final Period period;
    private final Clock clock;

    KeepFor(@Value("${airway.identity.keep-for:P1Y}") String setting, Clock clock) {
        this.clock = clock;
        try {
            this.period = Period.parse(setting);
        } catch (DateTimeException e) {
            throw new CannotStart("airway.identity.keep-for is no period, for example P1Y for a year or P90D.", e);
        }
        if (period.isNegative() || period.isZero()) {
            throw new CannotStart("airway.identity.keep-for must be longer than nothing, for example P1Y or P90D.");
        }
    }

    /** Numbers of records made before this moment are kept no longer. */
    Instant begin() {
        return clock.instant().atZone(ZoneOffset.UTC).minus(period).toInstant();
    }

    /** In words: "1 year", "90 days". */
    String words() {
        StringBuilder words = new StringBuilder();
        add(words, period.getYears(), "year");
        add(words, period.getMonths(), "month");
        add(words, period.getDays(), "day");
        return words.toString();
    }

    private static void add(StringBuilder words, int number, String unit) {
        if (number != 0) {
            words.append(words.isEmpty() ? "" : ", ")
                    .append(number)
                    .append(' ')
                    .append(unit)
                    .append(number == 1 ? "" : "s");
        }
    }
}
