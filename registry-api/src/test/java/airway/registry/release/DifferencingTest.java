package airway.registry.release;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.registry.cohort.Measure;
import java.time.Instant;
import java.time.YearMonth;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class DifferencingTest {
    private static final Site UNIT = new Site((short) 1, "unit", "Unit", "picu", ZoneOffset.UTC, true);
    private static final YearMonth MONTH = YearMonth.of(2025, 1);
    private static final Counting FPS = new Counting(Measure.FPS, null);
    private static final Counting WITHIN_TWO = new Counting(Measure.SUCCESS_2, null);
    private static final Counting ANY = new Counting(Measure.AE_ANY, null);

    /** Who succeeded at first also succeeded within two attempts; a first pass may go with an event or not. */
    @ParameterizedTest
    @CsvSource({"2, true", "4, true", "5, false", "0, false"})
    void holdsAnOutcomeAgainstOneWithinIt(int difference, boolean givesAway) {
        List<FactRow> rows = List.of(row(1, 1, 0, 20), row(0, 1, 0, difference), row(0, 0, 0, 13));

        assertThat(Differencing.givenAwayWith(table(WITHIN_TWO, rows), List.of(told(table(FPS, rows))), rows)
                        .isPresent())
                .isEqualTo(givesAway);
        assertThat(Differencing.givenAwayWith(table(FPS, rows), List.of(told(table(WITHIN_TWO, rows))), rows)
                        .isPresent())
                .as("in the other order")
                .isEqualTo(givesAway);
    }

    @ParameterizedTest
    @CsvSource({"1", "4"})
    void tellsOutcomesOfWhichNoneLiesWithinTheOther(int both) {
        List<FactRow> rows = List.of(row(1, 1, 1, both), row(1, 1, 0, 20), row(0, 0, 1, 12), row(0, 0, 0, 13));

        assertThat(Differencing.givenAwayWith(table(ANY, rows), List.of(told(table(FPS, rows))), rows))
                .isEmpty();
    }

    private static FactRow row(int fps, int withinTwo, int any, long count) {
        return new FactRow(MONTH, Map.of(), Map.of(FPS, fps, WITHIN_TWO, withinTwo, ANY, any), count);
    }

    private static CountTable table(Counting counting, List<FactRow> rows) {
        TableSpec spec = new TableSpec(UNIT, counting, new Lines(null, 12), MONTH, MONTH, Map.of());
        return CountTable.of(spec, Audience.INSIDE, rows);
    }

    private static ToldTable told(CountTable table) {
        return new ToldTable(new UUID(0, 0), table, "", "", Instant.EPOCH);
    }
}
