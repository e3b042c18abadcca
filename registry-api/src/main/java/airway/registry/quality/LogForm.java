package airway.registry.quality;

import java.time.DateTimeException;
import java.time.Duration;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * The log of another source as typed or uploaded: a line for each intubation, its date and perhaps its time, and the
 * months that it holds wholly. A first line without a digit is a heading.
 */
final class LogForm {
    static final List<Integer> WINDOWS = List.of(1, 2, 6, 12);
    static final int MOST_ROWS = 5_000;
    private static final int MOST_MONTHS = 60;
    private static final int MOST_TOLD = 20;

    private static final Pattern LINE = Pattern.compile(
            "\"?(\\d{4})-(\\d{1,2})-(\\d{1,2})\"?(?:[T ,;\\t]+\"?(\\d{1,2}):(\\d{2})(?::\\d{2})?\"?)?[,;\\s]*");

    private final List<Told> told = new ArrayList<>();

    /**
     * A log that can be compared.
     *
     * @param from first month that it holds wholly
     * @param to last month
     * @param window how far a time may lie from the start of a record
     */
    record Log(YearMonth from, YearMonth to, Duration window, List<LogMatch.Entry> entries) {}

    /** What was read: a log, or what is wrong. */
    record Read(@Nullable Log log, List<Told> told) {}

    private LogForm() {}

    static Read read(String fromText, String toText, String windowText, String text, YearMonth now) {
        LogForm form = new LogForm();
        YearMonth from = month(fromText, "list_from", now, form.told);
        YearMonth to = month(toText, "list_to", now, form.told);
        if (from != null && to != null) {
            if (from.isAfter(to)) {
                form.tell("list_to", "The last month lies before the first.");
            } else if (from.plusMonths(MOST_MONTHS).isBefore(to.plusMonths(1))) {
                form.tell("list_to", "Compare five years at most at a time.");
            }
        }
        Integer hours = WINDOWS.stream()
                .filter(known -> known.toString().equals(windowText))
                .findFirst()
                .orElse(null);
        if (hours == null) {
            form.tell("window", "Choose how far apart the times may lie.");
        }
        List<LogMatch.Entry> entries = form.entries(text, from, to);
        return form.told.isEmpty() && from != null && to != null && hours != null
                ? new Read(new Log(from, to, Duration.ofHours(hours), entries), List.of())
                : new Read(null, form.told);
    }

    /** A month that is not ahead, as 2026-03. */
    static @Nullable YearMonth month(String text, String field, YearMonth now, List<Told> told) {
        if (!text.strip().matches("(19|20)\\d\\d-(0[1-9]|1[0-2])")) {
            told.add(new Told(field, "Type a month as 2026-03."));
            return null;
        }
        YearMonth month = YearMonth.parse(text.strip());
        if (month.isAfter(now)) {
            told.add(new Told(field, "That month lies ahead."));
            return null;
        }
        return month;
    }

    private List<LogMatch.Entry> entries(String text, @Nullable YearMonth from, @Nullable YearMonth to) {
        List<LogMatch.Entry> entries = new ArrayList<>();
        Map<String, Integer> earlier = new HashMap<>();
        List<String> lines = text.replace("\uFEFF", "").lines().toList();
        int wrong = 0;
        for (int i = 0; i < lines.size(); i++) {
            String line = lines.get(i).strip();
            if (line.isEmpty() || (i == 0 && line.chars().noneMatch(Character::isDigit))) {
                continue;
            }
            int row = i + 1;
            LogMatch.Entry entry = entry(row, line);
            String mend = null;
            if (entry == null) {
                mend = "write the date as 2026-03-14, and the time after it as 14:20 or not at all; leave other columns"
                        + " out.";
            } else if (from != null
                    && to != null
                    && (YearMonth.from(entry.day()).isBefore(from)
                            || YearMonth.from(entry.day()).isAfter(to))) {
                mend = "the date lies outside the months named above; mend one of the two.";
            } else if (entry.time() != null) {
                Integer same = earlier.putIfAbsent(entry.day() + " " + entry.time(), row);
                mend = same == null ? null : "the same day and time as row " + same + "; leave one of them out.";
            }
            if (entry != null && mend == null) {
                entries.add(entry);
            } else if (++wrong <= MOST_TOLD) {
                tell("list", "Row " + row + ": " + mend);
            }
        }
        if (wrong > MOST_TOLD) {
            tell("list", "And " + (wrong - MOST_TOLD) + " rows more.");
        }
        if (lines.size() > MOST_ROWS) {
            tell("list", "The list has more than " + MOST_ROWS + " rows; compare fewer months at a time.");
        } else if (entries.isEmpty() && wrong == 0) {
            tell("list", "Paste the list, or choose a file: a line for each intubation.");
        }
        return entries;
    }

    private static LogMatch.@Nullable Entry entry(int row, String line) {
        Matcher parts = LINE.matcher(line);
        if (!parts.matches()) {
            return null;
        }
        try {
            LocalDate day = LocalDate.of(
                    Integer.parseInt(parts.group(1)),
                    Integer.parseInt(parts.group(2)),
                    Integer.parseInt(parts.group(3)));
            LocalTime time = parts.group(4) == null
                    ? null
                    : LocalTime.of(Integer.parseInt(parts.group(4)), Integer.parseInt(parts.group(5)));
            return new LogMatch.Entry(row, day, time);
        } catch (DateTimeException e) {
            return null;
        }
    }

    private void tell(String field, String mend) {
        told.add(new Told(field, mend));
    }
}
