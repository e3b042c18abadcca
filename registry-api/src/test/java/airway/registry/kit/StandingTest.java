package airway.registry.kit;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * Whether a trolley is ready. That equipment for a difficult airway is checked regularly by local policy, and that a check
 * is recorded: the anaesthetists' guideline on checking equipment (2012; Anaesthesia 67:660-8). A daily check, a full one
 * each week and after every opening: common practice, no source.
 */
class StandingTest {
    private static final Site SITE = new Site((short) 1, "a", "A", "picu", ZoneId.of("Europe/London"), true);
    private static final Kind BLADE = new Kind(SITE, Walks.key(1), 1, "Straight blade, size 1", "Leaflet", null, null);
    private static final Instant MORNING = Instant.parse("2026-11-24T07:00:00Z");
    private static final LocalDate FAR = LocalDate.of(2027, 5, 18);

    private static Trolley trolley(@Nullable Integer battery, boolean light, boolean recorder, Slot... slots) {
        return new Trolley(
                SITE,
                Walks.key(9),
                1,
                "Trolley 2",
                true,
                LocalTime.of(7, 30),
                1,
                7,
                light,
                battery,
                recorder,
                Arrays.asList(slots));
    }

    private static final Slot TUBES = new Slot("1", "Tube 3.5", null, 3, 2, true);

    private static Check full(int version, Trolley trolley, Instant at, @Nullable String seal, Check.Line... lines) {
        return check(version, trolley, Check.Kind.FULL, at, "none", null, seal, Arrays.asList(lines), true, 80, true);
    }

    private static Check sealed(int version, Trolley trolley, Instant at, String found, @Nullable String read) {
        return check(version, trolley, Check.Kind.SHORT, at, found, read, null, List.of(), null, 80, true);
    }

    private static Check check(
            int version,
            Trolley trolley,
            Check.Kind kind,
            Instant at,
            @Nullable String found,
            @Nullable String read,
            @Nullable String seal,
            List<Check.Line> lines,
            @Nullable Boolean light,
            @Nullable Integer battery,
            @Nullable Boolean memory) {
        return new Check(
                trolley.id(),
                version,
                "final",
                null,
                1,
                trolley.slots(),
                new Check.Found(
                        kind, at, found, read, seal, lines, light, battery, memory, Check.Recordings.NONE, null),
                null,
                2,
                at);
    }

    private static Check.Line line(int count) {
        return new Check.Line(count, FAR);
    }

    private static Standing of(Trolley trolley, Instant now, List<Whereabouts> items, Check... checks) {
        return Standing.of(trolley, Arrays.asList(checks), items, checks.length, now);
    }

    @Test
    void isNotReadyBeforeItWasEverChecked() {
        Standing never = of(trolley(null, false, false, TUBES), MORNING, List.of());

        assertThat(never.word()).isEqualTo(Standing.Word.NOT_CHECKED);
        assertThat(never.word().ready()).isFalse();
    }

    @ParameterizedTest
    @CsvSource({"3, READY", "2, GAP", "1, NOT_READY", "0, NOT_READY"})
    void countsWhatIsMissing(int found, Standing.Word word) {
        Trolley trolley = trolley(null, false, false, TUBES);
        Standing standing = of(trolley, MORNING, List.of(), full(1, trolley, MORNING, "20417", line(found)));

        assertThat(standing.word()).isEqualTo(word);
        assertThat(standing.restock().stream().mapToInt(Standing.Restock::how).sum())
                .isEqualTo(3 - found);
        assertThat(standing.reasons().isEmpty()).isEqualTo(found == 3);
    }

    @ParameterizedTest
    @CsvSource({"2026-11-23, NOT_READY", "2026-11-24, READY", "2026-11-25, READY"})
    void isReadyThroughTheUseByDay(LocalDate useBy, Standing.Word word) {
        Trolley trolley = trolley(null, false, false, TUBES);

        assertThat(of(trolley, MORNING, List.of(), full(1, trolley, MORNING, "1", new Check.Line(3, useBy)))
                        .word())
                .isEqualTo(word);
    }

    @ParameterizedTest
    @CsvSource({
        // checked (London), now (London), verdict; due at 07:30 of the next day
        "2026-11-23T07:35:00Z, 2026-11-24T07:30:00Z, READY",
        "2026-11-23T07:35:00Z, 2026-11-24T07:30:01Z, OVERDUE",
        "2026-11-23T23:59:00Z, 2026-11-24T07:31:00Z, OVERDUE",
        "2026-11-24T00:00:00Z, 2026-11-24T23:00:00Z, READY",
        // In summer the day of the unit begins an hour before that of Greenwich.
        "2026-07-01T22:59:00Z, 2026-07-02T06:30:01Z, OVERDUE",
        "2026-07-01T23:00:00Z, 2026-07-03T06:30:00Z, READY",
        // The clocks go forward on 28 March 2027 and back on 25 October 2026: 07:30 stays 07:30.
        "2027-03-27T08:00:00Z, 2027-03-28T06:30:00Z, READY",
        "2027-03-27T08:00:00Z, 2027-03-28T06:30:01Z, OVERDUE",
        "2026-10-24T08:00:00Z, 2026-10-25T07:30:00Z, READY",
        "2026-10-24T08:00:00Z, 2026-10-25T07:30:01Z, OVERDUE",
    })
    void isOverdueFromTheDueTimeOfTheUnit(Instant checked, Instant now, Standing.Word word) {
        Trolley trolley = trolley(null, false, false, TUBES);

        assertThat(of(trolley, now, List.of(), full(1, trolley, checked, "1", new Check.Line(3, LocalDate.MAX)))
                        .word())
                .isEqualTo(word);
    }

    @Test
    void isOverdueForAFullCheckHoweverOftenItsSealIsLookedAt() {
        Trolley trolley = trolley(null, false, false, TUBES);
        List<Check> checks = new ArrayList<>();
        checks.add(full(1, trolley, MORNING, "20417", line(3)));
        for (int day = 1; day <= 7; day++) {
            checks.add(sealed(day + 1, trolley, MORNING.plusSeconds(86_400L * day), "whole", "20417"));
        }
        Instant week = MORNING.plusSeconds(86_400L * 7);

        assertThat(Standing.of(trolley, checks, List.of(), 8, week).word()).isEqualTo(Standing.Word.READY);
        Standing later = Standing.of(trolley, checks, List.of(), 8, week.plusSeconds(1_801));
        assertThat(later.word()).isEqualTo(Standing.Word.OVERDUE);
        assertThat(later.reasons()).containsExactly("The full check was due 1 Dec, 07:30.");
    }

    @ParameterizedTest
    @CsvSource({
        "whole, 20417, READY, true",
        "whole, 20418, NOT_READY, false",
        "broken, 20417, NOT_READY, false",
        "broken, '', NOT_READY, false",
        "none, '', NOT_READY, false"
    })
    void goesByTheSealOnlyWhileItIsWholeAndTheSame(String found, String read, Standing.Word word, boolean shortCheck) {
        Trolley trolley = trolley(null, false, false, TUBES);
        Standing standing = of(
                trolley,
                MORNING.plusSeconds(7_200),
                List.of(),
                full(1, trolley, MORNING, "20417", line(3)),
                sealed(2, trolley, MORNING.plusSeconds(3_600), found, read.isEmpty() ? null : read));

        assertThat(standing.word()).isEqualTo(word);
        assertThat(standing.shortCheck()).isEqualTo(shortCheck);
    }

    @Test
    void needsAFullCheckOnceItWasOpenedWhateverAShortOneSaysLater() {
        Trolley trolley = trolley(null, false, false, TUBES);
        Check full = full(1, trolley, MORNING, "20417", line(3));
        Check opened = check(
                2, trolley, Check.Kind.OPENED, MORNING.plusSeconds(60), null, null, null, List.of(), null, null, null);
        Check after = sealed(3, trolley, MORNING.plusSeconds(120), "whole", "20417");

        assertThat(of(trolley, MORNING.plusSeconds(180), List.of(), full, opened, after)
                        .word())
                .isEqualTo(Standing.Word.NOT_READY);
        assertThat(of(
                                trolley,
                                MORNING.plusSeconds(300),
                                List.of(),
                                full(4, trolley, MORNING.plusSeconds(240), "20418", line(3)))
                        .seal())
                .isEqualTo("20418");
    }

    @ParameterizedTest
    @CsvSource(
            nullValues = "-",
            value = {
                "true, 40, true, READY",
                "true, 39, true, NOT_READY",
                "true, -, true, NOT_READY",
                "false, 80, true, NOT_READY",
                "-, 80, true, NOT_READY",
                "true, 80, false, NOT_READY",
                "true, 80, -, NOT_READY"
            })
    void isNotReadyWithADeviceThatIsNotOrIsNotKnownToBe(
            @Nullable Boolean light, @Nullable Integer battery, @Nullable Boolean memory, Standing.Word word) {
        Trolley trolley = trolley(40, true, true, TUBES);
        Check check = check(
                1, trolley, Check.Kind.FULL, MORNING, "none", null, "1", List.of(line(3)), light, battery, memory);

        assertThat(of(trolley, MORNING, List.of(), check).word()).isEqualTo(word);
    }

    private static final Slot BLADES = new Slot("2", "Straight blade, size 1", Walks.key(1), 1, 1, false);

    private static Whereabouts item(State state, @Nullable String place, @Nullable LocalDate useBy) {
        return new Whereabouts(Walks.key(5), "0417", BLADE, state, MORNING, place, null, useBy, 1, null);
    }

    @ParameterizedTest
    @EnumSource(State.class)
    void isReadyOnlyWithAnItemThatIsPlacedOnItAndInNoOtherState(State state) {
        Trolley trolley = trolley(null, false, false, BLADES);
        Standing standing = of(
                trolley,
                MORNING,
                List.of(item(state, "trolley 2, drawer 2", FAR)),
                full(1, trolley, MORNING, "1", new Check.Line(1, null)));

        assertThat(standing.word().ready()).isEqualTo(state == State.PLACED);
        assertThat(standing.reasons().isEmpty()).isEqualTo(state == State.PLACED);
    }

    @Test
    void isNotReadyWithAnItemThatLiesElsewhereOrIsOutOfDateOrOfUnknownDate() {
        Trolley trolley = trolley(null, false, false, BLADES);
        Check check = full(1, trolley, MORNING, "1", new Check.Line(1, null));
        for (Whereabouts item : List.of(
                item(State.PLACED, "Trolley 22, drawer 2", FAR),
                item(State.PLACED, null, FAR),
                item(State.PLACED, "Trolley 2, drawer 2", LocalDate.of(2026, 11, 23)),
                item(State.PLACED, "Trolley 2, drawer 2", null))) {
            assertThat(of(trolley, MORNING, List.of(item), check).word())
                    .as(item.toString())
                    .isEqualTo(Standing.Word.NOT_READY);
        }
        assertThat(of(trolley, MORNING, List.of(), check).reasons())
                .containsExactly("By their moves 0 of 1 lie on it: Straight blade, size 1.");
    }

    @Test
    void needsAFullCheckWhenWhatShouldLieInItWasChanged() {
        Trolley before = trolley(null, false, false, TUBES);
        Trolley now = trolley(null, false, false, TUBES, new Slot("3", "Bougie", null, 1, 1, false));

        assertThat(of(now, MORNING, List.of(), full(1, before, MORNING, "1", line(3)))
                        .word())
                .isEqualTo(Standing.Word.NOT_READY);
    }
}
