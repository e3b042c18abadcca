package airway.registry.quality;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.PriorityQueue;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Finds records for the entries of a log of another source: each entry is matched with one record at most and each
 * record with one entry, and as many as possible. An entry with a time matches a start within the window, an entry
 * without one a start of the same day; a start known to the day only matches an entry of the same day.
 *
 * <p>Entries are spans of time and starts are points in it, so taking, for each start in order, the span that ends first
 * finds as many pairs as can be found (Glover 1967, Nav Res Logist Q 14:313; the rule from memory, checked against all
 * pairings in the tests). Starts known to the day are paired afterwards with what is left.
 */
final class LogMatch {
    /**
     * A line of the log.
     *
     * @param row its number, from 1
     * @param time null where the log tells only the day
     */
    record Entry(int row, LocalDate day, @Nullable LocalTime time) {}

    /** The start of a record; {@code dayOnly} where the time of the day is not known. */
    record Start(Instant at, boolean dayOnly) {}

    private record Span(Entry entry, Instant from, Instant to) {}

    private LogMatch() {}

    /** The rows of the entries for which a record was found. */
    static Set<Integer> matched(List<Entry> entries, List<Start> starts, Duration window, ZoneId zone) {
        List<Span> spans = entries.stream()
                .map(entry -> span(entry, window, zone))
                .sorted(Comparator.comparing(Span::from))
                .toList();
        List<Instant> points = starts.stream()
                .filter(start -> !start.dayOnly())
                .map(Start::at)
                .sorted()
                .toList();
        Set<Integer> matched = new HashSet<>();
        PriorityQueue<Span> open = new PriorityQueue<>(Comparator.comparing(Span::to));
        int next = 0;
        for (Instant point : points) {
            while (next < spans.size() && !spans.get(next).from().isAfter(point)) {
                open.add(spans.get(next++));
            }
            while (!open.isEmpty() && open.peek().to().isBefore(point)) {
                open.remove();
            }
            if (!open.isEmpty()) {
                matched.add(open.remove().entry().row());
            }
        }
        List<LocalDate> days = new ArrayList<>(starts.stream()
                .filter(Start::dayOnly)
                .map(start -> start.at().atZone(zone).toLocalDate())
                .toList());
        for (Entry entry : entries) {
            if (!matched.contains(entry.row()) && days.remove(entry.day())) {
                matched.add(entry.row());
            }
        }
        return matched;
    }

    private static Span span(Entry entry, Duration window, ZoneId zone) {
        if (entry.time() == null) {
            ZonedDateTime morning = entry.day().atStartOfDay(zone);
            return new Span(
                    entry,
                    morning.toInstant(),
                    entry.day().plusDays(1).atStartOfDay(zone).toInstant().minusNanos(1));
        }
        Instant at = entry.day().atTime(entry.time()).atZone(zone).toInstant();
        return new Span(entry, at.minus(window), at.plus(window));
    }
}
