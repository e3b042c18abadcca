package airway.stats.disclosure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.stats.disclosure.Generalisation.Demand;
import airway.stats.disclosure.Generalisation.Fine;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** The chance of an intruder, worked out by hand. */
class LinkageTrialTest {
    private static Fine row(String patient, String fine, String coarse) {
        return new Fine(patient, List.of(List.of(fine, coarse)), "no");
    }

    private static LinkageTrial trial(List<Fine> rows, int k, int level) {
        return LinkageTrial.of(rows, Generalisation.at(rows, new Demand(k, 1, 1, 1, false, 1), List.of(level)));
    }

    @Test
    void findsOneInAsManyAsFit() {
        List<Fine> rows = new ArrayList<>();
        for (int i = 0; i < 8; i++) {
            rows.add(row("p" + i, "age " + i, i < 3 ? "young" : "old"));
        }
        assertThat(trial(rows, 1, 0).found()).isEqualTo(1);
        // Classes of 3 and 5: (3 * 1/3 + 5 * 1/5) / 8.
        assertThat(trial(rows, 1, 1).found()).isEqualTo(0.25, within(1e-12));
        // The class of 3 is left out: (0 + 5 * 1/5) / 8.
        assertThat(trial(rows, 4, 1).found()).isEqualTo(0.125, within(1e-12));
        assertThat(trial(rows, 4, 1).patients()).isEqualTo(8);
    }

    /** Worked vector P02 of the registry's rules of privacy: of six rows four are one child's. */
    @Test
    void triesAChildWithSeveralRowsByEachAndCountsItOnce() {
        List<Fine> rows = new ArrayList<>();
        for (String patient : List.of("a", "a", "a", "a", "b", "b")) {
            rows.add(row(patient, "x", "*"));
        }
        // (4/6 + 2/6) / 2.
        assertThat(trial(rows, 1, 0).found()).isEqualTo(0.5, within(1e-12));
        assertThat(trial(rows, 1, 0).patients()).isEqualTo(2);
    }

    @Test
    void findsNobodyWhereNobodyIs() {
        List<Fine> rows = List.of(row("a", "x", "*"));
        assertThat(trial(rows, 2, 0).found()).isZero();
    }
}
