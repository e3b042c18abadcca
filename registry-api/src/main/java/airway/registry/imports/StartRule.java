package airway.registry.imports;

import java.time.DateTimeException;
import java.time.Duration;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.time.format.DateTimeParseException;
import java.time.format.ResolverStyle;
import java.time.temporal.TemporalAccessor;
import java.time.temporal.TemporalQueries;
import java.util.Locale;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** When the encounter of a row began: read from a column, or made up for order only and marked so. */
sealed interface StartRule {
    /** How precisely it is known, a code of {@code encounter_start_precision}; null for to the minute. */
    @Nullable
    String precision();

    /** The column it is read from, if it is. */
    Optional<String> column();

    /** A date made up for order: the first row begins at {@code first}, each row one step later. */
    record Nominal(LocalDateTime first, Duration step, ZoneId zone) implements StartRule {
        @Override
        public String precision() {
            return "nominal";
        }

        @Override
        public Optional<String> column() {
            return Optional.empty();
        }

        OffsetDateTime of(int row) {
            return first.plus(step.multipliedBy(row - 1L)).atZone(zone).toOffsetDateTime();
        }
    }

    /** A date, or date and time of the clock on the unit's wall, in a column. */
    record Read(
            String name, DateTimeFormatter format, @Nullable String precision, ZoneId zone) implements StartRule {
        @Override
        public Optional<String> column() {
            return Optional.of(name);
        }

        /** The start, or empty when the cell is not of the format; a date alone is taken as midday. */
        Optional<OffsetDateTime> of(String cell) {
            try {
                TemporalAccessor parsed = format.parse(cell);
                LocalDate date = parsed.query(TemporalQueries.localDate());
                LocalTime time = parsed.query(TemporalQueries.localTime());
                ZoneId offset = parsed.query(TemporalQueries.zone());
                return Optional.ofNullable(date)
                        .map(day -> day.atTime(time == null ? LocalTime.NOON : time)
                                .atZone(offset == null ? zone : offset)
                                .toOffsetDateTime());
            } catch (DateTimeParseException e) {
                return Optional.empty();
            }
        }
    }

    static StartRule read(Part part, ZoneId zone) {
        part.only("nominal", "step", "column", "format", "precision");
        try {
            if (part.has("nominal")) {
                return new Nominal(
                        LocalDateTime.parse(part.text("nominal")),
                        Duration.parse(part.optionalText("step").orElse("P1D")),
                        zone);
            }
            // Strict, so that 31 February is a fault and not the 28th; strict patterns write the year as u.
            DateTimeFormatter format = DateTimeFormatter.ofPattern(
                            part.text("format").replace('y', 'u'), Locale.ROOT)
                    .withResolverStyle(ResolverStyle.STRICT);
            return new Read(
                    part.text("column"), format, part.optionalText("precision").orElse(null), zone);
        } catch (DateTimeException | IllegalArgumentException e) {
            throw part.refused(
                    "give {\"nominal\": \"2000-01-01T12:00:00\", \"step\": \"P1D\"}, or a column with a format like"
                            + " yyyy-MM-dd HH:mm");
        }
    }
}
