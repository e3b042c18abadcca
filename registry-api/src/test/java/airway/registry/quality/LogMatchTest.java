package airway.registry.quality;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.quality.LogMatch.Entry;
import airway.registry.quality.LogMatch.Start;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class LogMatchTest {
    private static final ZoneId LONDON = ZoneId.of("Europe/London");
    private static final Duration TWO_HOURS = Duration.ofHours(2);
    private static final LocalDate DAY = LocalDate.parse("2026-03-14");

    private static Entry entry(int row, String time) {
        return new Entry(row, DAY, time.isEmpty() ? null : LocalTime.parse(time));
    }

    private static Start start(String at) {
        return new Start(Instant.parse(at), false);
    }

    @Test
    void takesEachRecordForOneEntryOnly() {
        List<Entry> two = List.of(entry(1, "14:00"), entry(2, "15:00"));

        assertThat(LogMatch.matched(two, List.of(start("2026-03-14T14:30:00Z")), TWO_HOURS, LONDON))
                .containsExactly(1);
        assertThat(LogMatch.matched(two, List.of(), TWO_HOURS, LONDON)).isEmpty();
    }

    @Test
    void holdsTheWindowToTheMinuteAndTheDayInTheZoneOfTheUnit() {
        List<Entry> one = List.of(entry(1, "14:00"));
        assertThat(LogMatch.matched(one, List.of(start("2026-03-14T16:00:00Z")), TWO_HOURS, LONDON))
                .hasSize(1);
        assertThat(LogMatch.matched(one, List.of(start("2026-03-14T16:01:00Z")), TWO_HOURS, LONDON))
                .isEmpty();
        // In summer 23:30 UTC is the next day in London.
        List<Entry> summer = List.of(new Entry(1, LocalDate.parse("2026-07-02"), null));
        assertThat(LogMatch.matched(summer, List.of(start("2026-07-01T23:30:00Z")), TWO_HOURS, LONDON))
                .hasSize(1);
        assertThat(LogMatch.matched(summer, List.of(start("2026-07-02T23:30:00Z")), TWO_HOURS, LONDON))
                .isEmpty();
    }

    @Test
    void matchesAStartKnownToTheDayByTheDay() {
        Start day = new Start(Instant.parse("2026-03-14T00:00:00Z"), true);

        assertThat(LogMatch.matched(List.of(entry(1, "22:00"), entry(2, "")), List.of(day), TWO_HOURS, LONDON))
                .hasSize(1);
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
    void findsAsManyPairsAsAllPairingsTogether(long seed) {
        Random random = new Random(seed);
        for (int round = 0; round < 50; round++) {
            List<Entry> entries = new ArrayList<>();
            List<Start> starts = new ArrayList<>();
            for (int i = 1; i <= 6; i++) {
                LocalDate day = DAY.plusDays(random.nextInt(2));
                entries.add(new Entry(
                        i, day, random.nextInt(3) == 0 ? null : LocalTime.of(random.nextInt(24), random.nextInt(60))));
                starts.add(start(
                        "2026-03-1" + (4 + random.nextInt(2)) + "T" + LocalTime.of(random.nextInt(24), 7) + ":00Z"));
            }
            Duration window = Duration.ofHours(1 + random.nextInt(6));

            assertThat(LogMatch.matched(entries, starts, window, LONDON))
                    .hasSize(most(entries, starts, window, 0, new boolean[starts.size()]));
        }
    }

    /** Tries every pairing. London keeps UTC in March before the 29th. */
    private static int most(List<Entry> entries, List<Start> starts, Duration window, int at, boolean[] taken) {
        if (at == entries.size()) {
            return 0;
        }
        Entry entry = entries.get(at);
        int best = most(entries, starts, window, at + 1, taken);
        for (int s = 0; s < taken.length; s++) {
            Instant start = starts.get(s).at();
            LocalTime time = entry.time();
            boolean fits = time == null
                    ? start.atZone(LONDON).toLocalDate().equals(entry.day())
                    : Duration.between(entry.day().atTime(time).atZone(LONDON).toInstant(), start)
                                    .abs()
                                    .compareTo(window)
                            <= 0;
            if (fits && !taken[s]) {
                taken[s] = true;
                best = Math.max(best, 1 + most(entries, starts, window, at + 1, taken));
                taken[s] = false;
            }
        }
        return best;
    }
}
