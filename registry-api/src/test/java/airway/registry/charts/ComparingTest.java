package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.registry.access.Site;
import airway.registry.charts.Comparison.Hands;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;

/** Whose hands: expected differences worked out by hand from the counts. */
class ComparingTest {
    private static final Cohort ALL = new Cohort(
            List.of(new Site((short) 1, "u", "Unit", "picu", ZoneId.of("UTC"), true)), null, null, Map.of(), Set.of());

    private static CountQuery.Cell cell(String group, @Nullable Integer hands, long x, long n) {
        return new CountQuery.Cell(group, group, List.of("blank", "blank"), false, hands, new Counted(x, n, 0, 0, 0));
    }

    private static Comparison compare(List<CountQuery.Cell> cells) {
        return new Comparing(List.of(), List.of(), false, null).of(Measure.FPS, null, "device_setup_id", ALL, cells);
    }

    private static List<CountQuery.Cell> people(int number) {
        List<CountQuery.Cell> cells = new ArrayList<>();
        // The first does 20 with a, all of them first passes; all others 4 with each, half of them first passes.
        cells.add(cell("a", 1, 20, 20));
        for (int person = 2; person <= number; person++) {
            cells.add(cell("a", person, 2, 4));
            cells.add(cell("b", person, 2, 4));
        }
        cells.add(cell("b", null, 2, 4));
        return cells;
    }

    @Test
    void leavesEachPersonOutInTurnAndNamesNobody() {
        Hands hands = Objects.requireNonNull(compare(people(6)).wary().hands());

        assertThat(hands.people()).isEqualTo(6);
        assertThat(hands.known()).containsExactly(40L, 20L);
        assertThat(hands.most()).containsExactly(20L, 4L);
        // Without the first: 10 of 20 against 12 of 24. Without another: 28 of 36 against 10 of 20.
        assertThat(hands.smallest().get(0)).isCloseTo(0, within(1e-12));
        assertThat(hands.largest().get(0)).isCloseTo(28 / 36.0 - 0.5, within(1e-12));
    }

    @Test
    void saysNothingOfHandsUnderFivePeople() {
        List<CountQuery.Cell> cells = new ArrayList<>(people(4));
        cells.add(cell("b", null, 10, 20));
        Comparison comparison = compare(cells);
        assertThat(comparison.pairs()).hasSize(1);
        assertThat(comparison.wary().hands()).isNull();
    }

    /** Difficult or not; both groups meet the first kind, {@code alone} cases are of a kind that only one of them met. */
    private static Comparison partlyAlike(long alike, long alone) {
        List<CountQuery.Cell> cells = List.of(
                told("a", "yes", alike / 2, alike),
                told("b", "yes", alike / 4, alike),
                told("a", "no", alone / 2, alone));
        return new Comparing(List.of(), List.of(Stratum.DIFFICULTY_PREDICTED), false, null)
                .of(Measure.FPS, null, "device_setup_id", ALL, cells);
    }

    private static CountQuery.Cell told(String group, String difficult, long x, long n) {
        return new CountQuery.Cell(group, group, List.of(difficult, "blank"), false, null, new Counted(x, n, 0, 0, 0));
    }

    /** The half is common practice, no source: 40 and 40 cases beside 80 are just enough, beside 81 too few. */
    @Test
    void comparesLikeForLikeOnlyWhereHalfOfTheCasesAreSpokenFor() {
        Comparison enough = partlyAlike(40, 80);
        assertThat(enough.refused()).isNull();
        assertThat(enough.alike()).isNotNull();

        Comparison tooFew = partlyAlike(40, 81);
        assertThat(tooFew.alike()).isNull();
        assertThat(tooFew.pairs()).as("as recorded it is told all the same").hasSize(1);
        assertThat(Objects.requireNonNull(tooFew.refused()).reason()).isEqualTo("TOO_LITTLE_ALIKE");
        assertThat(tooFew.refused().text()).contains("Only 80 of 161 first attempts");
    }
}
