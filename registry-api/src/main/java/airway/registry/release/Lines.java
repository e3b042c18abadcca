package airway.registry.release;

import airway.registry.cohort.Stratum;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * What the lines of a table stand for: the answers to a variable, or spans of the calendar.
 *
 * @param stratum the variable, or null
 * @param months length of a span of the calendar; 0 with a variable
 */
record Lines(@Nullable Stratum stratum, int months) {
    static final String QUARTER = "quarter";
    static final String YEAR = "year";

    static Optional<Lines> named(String by) {
        return switch (by) {
            case QUARTER -> Optional.of(new Lines(null, 3));
            case YEAR -> Optional.of(new Lines(null, 12));
            default -> Stratum.named(by).map(stratum -> new Lines(stratum, 0));
        };
    }

    String by() {
        return stratum != null ? stratum.variable() : months == 3 ? QUARTER : YEAR;
    }

    String title() {
        return stratum != null ? stratum.title() : months == 3 ? "Quarter" : "Year";
    }

    /** The code of the line to which encounters of a month with some answers belong. */
    String code(YearMonth month, FactRow row) {
        return stratum != null ? row.code(stratum) : span(month);
    }

    /** The codes there can be, in their order. */
    List<String> codes(YearMonth from, YearMonth to) {
        if (stratum != null) {
            return stratum.codes().stream().map(code -> code.value()).toList();
        }
        List<String> codes = new ArrayList<>();
        for (YearMonth month = from; !month.isAfter(to); month = month.plusMonths(1)) {
            if (!codes.contains(span(month))) {
                codes.add(span(month));
            }
        }
        return codes;
    }

    /** The code for people. */
    String label(String code) {
        return stratum != null
                ? stratum.label(code)
                : months == 3 ? code.replaceAll("(\\d+)-Q(\\d)", "quarter $2 of $1") : code;
    }

    private String span(YearMonth month) {
        return months == 3 ? month.getYear() + "-Q" + (month.getMonthValue() + 2) / 3 : String.valueOf(month.getYear());
    }
}
