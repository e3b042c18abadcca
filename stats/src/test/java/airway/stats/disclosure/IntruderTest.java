package airway.stats.disclosure;

import static org.assertj.core.api.Assertions.assertThat;

import airway.stats.disclosure.Generalisation.Demand;
import airway.stats.disclosure.Generalisation.Fine;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** Somebody who knows age in days, month and unit of 500 invented children tries to find their rows. */
class IntruderTest {

    private static final int CHILDREN = 500;
    private static final int TRIES = 400;

    /** Levels of age as in the registry's rules of privacy, without those of adults. */
    private static final List<Map<Integer, String>> BANDS = List.of(
            Map.of(
                    0,
                    "0-6 d",
                    7,
                    "7-27 d",
                    28,
                    "28 d-2 mo",
                    91,
                    "3-5 mo",
                    183,
                    "6-11 mo",
                    365,
                    "12-23 mo",
                    731,
                    "2-4 y",
                    1826,
                    "5-11 y",
                    4383,
                    "12-17 y"),
            Map.of(0, "0-27 d", 28, "28 d-23 mo", 731, "2-11 y", 4383, "12-17 y"),
            Map.of(0, "< 2 y", 731, "2-17 y"));

    private record Child(int days, int month, int unit, boolean severe) {
        private Fine row(int number) {
            List<String> age = new ArrayList<>(List.of(String.valueOf(days)));
            for (Map<Integer, String> bands : BANDS) {
                int from = bands.keySet().stream()
                        .filter(start -> start <= days)
                        .mapToInt(Integer::intValue)
                        .max()
                        .orElseThrow();
                age.add(String.valueOf(bands.get(from)));
            }
            age.add("*");
            return new Fine(
                    "child " + number,
                    List.of(
                            age,
                            List.of("month " + month, "quarter " + month / 3, "year " + month / 12, "*"),
                            List.of("unit " + unit, "*")),
                    severe ? "yes" : "no");
        }
    }

    private static List<Child> children() {
        SplittableRandom random = new SplittableRandom(2_026);
        List<Child> children = new ArrayList<>();
        for (int i = 0; i < CHILDREN; i++) {
            // Many are young, as in intensive care.
            int days = (int) (6_570 * Math.pow(random.nextDouble(), 4));
            children.add(new Child(days, random.nextInt(24), random.nextInt(3), random.nextInt(8) == 0));
        }
        return children;
    }

    /** How often each child is found when the intruder picks one of the rows that fit what is known. */
    private static double[] found(List<Fine> rows, Generalisation told) {
        List<DisclosedRow> out = new ArrayList<>();
        List<Integer> numbers = new ArrayList<>();
        for (int i = 0; i < rows.size(); i++) {
            if (!told.removed().contains(i)) {
                out.add(rows.get(i).at(told.levels()));
                numbers.add(i);
            }
        }
        Map<List<String>, List<Integer>> fitting = new HashMap<>();
        for (int i = 0; i < out.size(); i++) {
            fitting.computeIfAbsent(out.get(i).quasiIdentifiers(), none -> new ArrayList<>())
                    .add(numbers.get(i));
        }
        SplittableRandom random = new SplittableRandom(7);
        double[] found = new double[rows.size()];
        for (int child = 0; child < rows.size(); child++) {
            List<Integer> fit =
                    fitting.getOrDefault(rows.get(child).at(told.levels()).quasiIdentifiers(), List.of());
            for (int i = 0; i < TRIES && !fit.isEmpty(); i++) {
                found[child] += fit.get(random.nextInt(fit.size())) == child ? 1.0 / TRIES : 0;
            }
        }
        return found;
    }

    private static double mean(double[] values) {
        double sum = 0;
        for (double value : values) {
            sum += value;
        }
        return sum / values.length;
    }

    @Test
    void findsNoMoreThanTheRiskThatIsClaimed() {
        List<Fine> rows = rows();
        Generalisation told =
                Generalisation.of(rows, new Demand(5, 2, 1, 1, false, 0.05)).orElseThrow();
        RecognitionRisk claimed = RecognitionRisk.prosecutor(told.classes(), 0.2);
        assertThat(claimed.highest()).isLessThanOrEqualTo(0.2);
        assertThat(claimed.atRisk()).isZero();

        double[] found = found(rows, told);
        // Five standard errors: of 500 times 400 tries, and of 400 tries for the child at most risk.
        double error = 5 * Math.sqrt(claimed.average() / (CHILDREN * (double) TRIES));
        assertThat(mean(found)).isPositive().isLessThanOrEqualTo(claimed.average() + error);
        for (double one : found) {
            assertThat(one).isLessThanOrEqualTo(claimed.highest() + 5 * Math.sqrt(claimed.highest() * 0.8 / TRIES));
        }
    }

    /** The attack is a real one: without coarsening it finds most children. */
    @Test
    void findsMostChildrenInRowsAsTheyAre() {
        List<Fine> rows = rows();
        Generalisation raw = Generalisation.at(rows, new Demand(1, 1, 1, 1, false, 0), List.of(0, 0, 0));
        assertThat(mean(found(rows, raw))).isGreaterThan(0.8);
    }

    private static List<Fine> rows() {
        List<Child> children = children();
        List<Fine> rows = new ArrayList<>();
        for (int i = 0; i < children.size(); i++) {
            rows.add(children.get(i).row(i));
        }
        return rows;
    }
}
