package airway.registry.encounter;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class StartTimeTest {
    private final Map<String, String> faults = new TreeMap<>();

    private @Nullable String read(String opened, String... fields) {
        StartTime start = new StartTime(Instant.parse(opened), Fields.ZONE);
        OffsetDateTime time = start.read(Fields.typed(List.of(fields)), faults::put);
        return time == null ? null : time.toString();
    }

    @Test
    void keepsWhatTheTileSays() {
        StartTime start = new StartTime(Fields.OPENED, Fields.ZONE);
        assertThat(start.words(start.justNow())).isEqualTo("about 14:25");
        assertThat(read("2026-11-24T14:32:10Z", "start=now")).isEqualTo("2026-11-24T14:25Z");
        assertThat(read("2026-11-24T14:32:10Z", "start=half")).isEqualTo("2026-11-24T14:00Z");
    }

    @Test
    void saysThatATileMeansYesterday() {
        StartTime start = new StartTime(Instant.parse("2026-11-24T00:12:00Z"), Fields.ZONE);
        assertThat(start.words(start.halfAnHourAgo())).isEqualTo("about 23:40 yesterday");
    }

    @Test
    void readsATypedTimeInTheZoneOfTheUnit() {
        assertThat(read("2026-07-01T12:00:00Z", "start=typed", "start_day=yesterday", "start_time=9.05"))
                .isEqualTo("2026-06-30T09:05+01:00");
        assertThat(read(
                        "2026-07-01T12:00:00Z",
                        "start=typed",
                        "start_day=other",
                        "start_date=13/1/2026",
                        "start_time=1420"))
                .isEqualTo("2026-01-13T14:20Z");
    }

    @Test
    void refusesWhatIsNoDayAndNoTime() {
        assertThat(read(
                        "2026-07-01T12:00:00Z",
                        "start=typed",
                        "start_day=other",
                        "start_date=31 2 2026",
                        "start_time=25:00"))
                .isNull();
        assertThat(faults).containsOnlyKeys("start_date", "start_time");
    }

    @Test
    void tellsOfATimeThatTheClocksSkipped() {
        assertThat(read("2026-03-29T12:00:00Z", "start=typed", "start_day=today", "start_time=01:30"))
                .isNull();
        assertThat(faults)
                .hasEntrySatisfying(
                        "start_time",
                        mend -> assertThat(mend).contains("did not exist").contains("before 01:00, or from 02:00"));
    }

    @Test
    void asksWhichOfTwoTimesItWas() {
        String opened = "2026-10-25T12:00:00Z";
        assertThat(read(opened, "start=typed", "start_day=today", "start_time=01:30"))
                .isNull();
        assertThat(faults).containsOnlyKeys("start_turn");
        assertThat(read(opened, "start=typed", "start_day=today", "start_time=01:30", "start_turn=first"))
                .isEqualTo("2026-10-25T01:30+01:00");
        assertThat(read(opened, "start=typed", "start_day=today", "start_time=01:30", "start_turn=second"))
                .isEqualTo("2026-10-25T01:30Z");
    }

    /** Days of the changes: IANA time zone database, from memory; zones with an hour, half an hour, and backwards. */
    @ParameterizedTest(name = "{0} {1} {2}: {3}")
    @CsvSource({
        "America/New_York, 8 3 2026, 02:30, start_time",
        "America/New_York, 1 11 2026, 01:30, start_turn",
        "Australia/Lord_Howe, 4 10 2026, 02:15, start_time",
        "Australia/Lord_Howe, 5 4 2026, 01:45, start_turn",
        "Africa/Casablanca, 22 3 2026, 02:30, start_time",
        "Africa/Casablanca, 15 2 2026, 02:30, start_turn",
        "Asia/Kolkata, 8 3 2026, 02:30, ",
    })
    void asksAboutTheClocksOfEveryZone(String zone, String day, String time, @Nullable String asked) {
        StartTime start = new StartTime(Instant.parse("2026-11-24T12:00:00Z"), ZoneId.of(zone));
        List<String> fields = List.of("start=typed", "start_day=other", "start_date=" + day, "start_time=" + time);
        start.read(Fields.typed(fields), faults::put);
        assertThat(faults.keySet()).isEqualTo(asked == null ? Set.of() : Set.of(asked));
    }

    @Test
    void leavesOpenWhatIsNotAnswered() {
        assertThat(read("2026-07-01T12:00:00Z")).isNull();
        assertThat(faults).isEmpty();
    }
}
