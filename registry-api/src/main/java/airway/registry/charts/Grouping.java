package airway.registry.charts;

import java.time.LocalDate;
import java.time.YearMonth;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Optional;

/**
 * What one point of a chart stands for.
 *
 * @param size number of encounters, for {@code n:25}; 0 for a span of the calendar
 */
record Grouping(Span span, int size) {
    /** A span of the calendar, or a number of encounters in order. */
    enum Span {
        MONTH(1),
        QUARTER(3),
        YEAR(12),
        ENCOUNTERS(0);

        private final int months;

        Span(int months) {
            this.months = months;
        }
    }

    private static final DateTimeFormatter MONTH_WORDS = DateTimeFormatter.ofPattern("MMM yyyy", Locale.ENGLISH);

    static Optional<Grouping> parse(String by) {
        return switch (by) {
            case "month" -> Optional.of(new Grouping(Span.MONTH, 0));
            case "quarter" -> Optional.of(new Grouping(Span.QUARTER, 0));
            case "year" -> Optional.of(new Grouping(Span.YEAR, 0));
            default ->
                by.matches("n:[1-9][0-9]{0,3}")
                        ? Optional.of(new Grouping(Span.ENCOUNTERS, Integer.parseInt(by.substring(2))))
                        : Optional.empty();
        };
    }

    boolean calendar() {
        return span != Span.ENCOUNTERS;
    }

    /** The first month of the span that holds a month. */
    YearMonth start(YearMonth month) {
        return month.minusMonths((month.getMonthValue() - 1) % span.months);
    }

    YearMonth next(YearMonth start) {
        return start.plusMonths(span.months);
    }

    /** A span that lies wholly in the past. */
    boolean complete(YearMonth start, LocalDate today) {
        return !next(start).atDay(1).isAfter(today);
    }

    /** The name of a span in the API: 2025-03, 2025-Q1, 2025. */
    String code(YearMonth start) {
        return switch (span) {
            case MONTH -> start.toString();
            case QUARTER -> start.getYear() + "-Q" + ((start.getMonthValue() + 2) / 3);
            default -> String.valueOf(start.getYear());
        };
    }

    /** The name of a span for people: Mar 2025, 1st quarter of 2025, 2025. */
    String words(YearMonth start) {
        return switch (span) {
            case MONTH -> MONTH_WORDS.format(start);
            case QUARTER -> "quarter " + ((start.getMonthValue() + 2) / 3) + " of " + start.getYear();
            default -> String.valueOf(start.getYear());
        };
    }

    @Override
    public String toString() {
        return calendar() ? span.name().toLowerCase(Locale.ROOT) : "n:" + size;
    }

    /** One point of this kind, for sentences: "month", "25 intubations". */
    String noun() {
        return calendar() ? span.name().toLowerCase(Locale.ROOT) : "group of " + size;
    }
}
