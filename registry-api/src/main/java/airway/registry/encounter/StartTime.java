package airway.registry.encounter;

import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.time.zone.ZoneOffsetTransition;
import java.util.List;
import java.util.Locale;
import java.util.function.BiConsumer;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** When the airway was decided on: tapped as a time ago, or typed as day and time of the unit's zone. */
/*
 * A tile says the very time that it stands for, counted from when the page was opened, so that a form that lay about for
 * an hour still means what it said. A typed time that the clocks skipped, or showed twice, is asked about, never guessed.
 */
final class StartTime {
    private static final int MINUTES = 5;
    private static final Pattern TIME = Pattern.compile("(\\d{1,2})\\s*[:.h]?\\s*(\\d{2})");
    private static final Pattern DAY_FIRST = Pattern.compile("(\\d{1,2})[ ./-]+(\\d{1,2})[ ./-]+(\\d{4})");
    private static final Pattern YEAR_FIRST = Pattern.compile("(\\d{4})-(\\d{1,2})-(\\d{1,2})");
    private static final DateTimeFormatter CLOCK = DateTimeFormatter.ofPattern("HH:mm", Locale.UK);

    private final ZonedDateTime opened;

    StartTime(Instant opened, ZoneId zone) {
        this.opened = opened.atZone(zone);
    }

    ZonedDateTime justNow() {
        return rounded().minusMinutes(MINUTES);
    }

    ZonedDateTime halfAnHourAgo() {
        return rounded().minusMinutes(30);
    }

    LocalDate today() {
        return opened.toLocalDate();
    }

    /** "about 14:25", with the day when it is not today's. */
    String words(ZonedDateTime time) {
        return "about " + CLOCK.format(time) + (time.toLocalDate().equals(today()) ? "" : " yesterday");
    }

    private ZonedDateTime rounded() {
        Duration over = Duration.ofMinutes(opened.getMinute() % MINUTES).plusSeconds(opened.getSecond());
        return opened.minus(over).withNano(0);
    }

    /**
     * The time that was answered.
     *
     * @param faults told the field and what to do when day or time cannot be read
     * @return null when nothing was answered, or nothing that can be read
     */
    @Nullable
    OffsetDateTime read(Typed typed, BiConsumer<String, String> faults) {
        return switch (String.valueOf(typed.one("start"))) {
            case "now" -> justNow().toOffsetDateTime();
            case "half" -> halfAnHourAgo().toOffsetDateTime();
            case "typed" -> typed(typed, faults);
            default -> null;
        };
    }

    private @Nullable OffsetDateTime typed(Typed typed, BiConsumer<String, String> faults) {
        LocalDate day = day(typed, faults);
        LocalTime time = time(typed.one("start_time"));
        if (time == null) {
            faults.accept("start_time", "Type the time as hours and minutes, for example 14:20.");
        }
        return day == null || time == null ? null : offset(day.atTime(time), typed.one("start_turn"), faults);
    }

    private @Nullable OffsetDateTime offset(
            LocalDateTime local, @Nullable String turn, BiConsumer<String, String> faults) {
        List<ZoneOffset> offsets = opened.getZone().getRules().getValidOffsets(local);
        if (offsets.size() == 1) {
            return local.atOffset(offsets.get(0));
        }
        if (offsets.isEmpty()) {
            ZoneOffsetTransition gap = opened.getZone().getRules().getTransition(local);
            faults.accept(
                    "start_time",
                    "The clocks went forward: this time did not exist on that day. Type one before "
                            + CLOCK.format(gap.getDateTimeBefore()) + ", or from "
                            + CLOCK.format(gap.getDateTimeAfter())
                            + " on.");
            return null;
        }
        if ("first".equals(turn) || "second".equals(turn)) {
            return local.atOffset(offsets.get("first".equals(turn) ? 0 : 1));
        }
        faults.accept("start_turn", "The clocks went back: this time came twice on that day. Say which one it was.");
        return null;
    }

    private @Nullable LocalDate day(Typed typed, BiConsumer<String, String> faults) {
        LocalDate day = switch (String.valueOf(typed.one("start_day"))) {
            case "today" -> today();
            case "yesterday" -> today().minusDays(1);
            case "other" -> date(String.valueOf(typed.one("start_date")));
            default -> null;
        };
        if (day == null) {
            boolean other = typed.has("start_day", "other");
            faults.accept(
                    other ? "start_date" : "start_day",
                    other ? "Type day, month and year in numbers, for example 24 11 2026." : "Say which day it was.");
        }
        return day;
    }

    /** A day in numbers, day first or year first; null when it cannot be read, or does not exist. */
    static @Nullable LocalDate date(String text) {
        Matcher dayFirst = DAY_FIRST.matcher(text);
        Matcher yearFirst = YEAR_FIRST.matcher(text);
        try {
            if (dayFirst.matches()) {
                return LocalDate.of(number(dayFirst, 3), number(dayFirst, 2), number(dayFirst, 1));
            }
            return yearFirst.matches()
                    ? LocalDate.of(number(yearFirst, 1), number(yearFirst, 2), number(yearFirst, 3))
                    : null;
        } catch (DateTimeException e) {
            return null;
        }
    }

    private static @Nullable LocalTime time(@Nullable String text) {
        Matcher time = TIME.matcher(text == null ? "" : text);
        return time.matches() && number(time, 1) < 24 && number(time, 2) < 60
                ? LocalTime.of(number(time, 1), number(time, 2))
                : null;
    }

    private static int number(Matcher matcher, int group) {
        return Integer.parseInt(matcher.group(group));
    }
}
