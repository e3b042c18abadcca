package airway.stats.disclosure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import airway.stats.RandomInputs;
import airway.stats.disclosure.Generalisation.Demand;
import airway.stats.disclosure.Generalisation.Fine;
import airway.stats.disclosure.Generalisation.Loss;
import airway.stats.disclosure.RecognitionRisk.ClassSize;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import org.assertj.core.data.Offset;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** P01 to P09 and P18 are the worked vectors of the registry's rules of privacy, computed there by hand. */
class RecognitionTest {

    private static final Offset<Double> SIX_FIGURES = within(5e-7);

    private static List<DisclosedRow> rows(String known, String... patients) {
        return Stream.of(patients)
                .map(patient -> new DisclosedRow(patient, List.of(known), "none"))
                .toList();
    }

    private static List<DisclosedRow> join(List<DisclosedRow> first, List<DisclosedRow> second) {
        List<DisclosedRow> all = new ArrayList<>(first);
        all.addAll(second);
        return all;
    }

    private static List<Fine> fine(List<DisclosedRow> rows) {
        return rows.stream()
                .map(row -> new Fine(row.patient(), List.of(row.quasiIdentifiers()), row.sensitive()))
                .toList();
    }

    private static Demand only(int k, double mostRemoved) {
        return new Demand(k, 1, 1, 1, false, mostRemoved);
    }

    @Test
    void p01CountsClassesOfThreeThreeAndTwo() {
        List<DisclosedRow> rows = join(rows("x", "a", "b", "c"), join(rows("y", "d", "e", "f"), rows("z", "g", "h")));
        EquivalenceClasses classes = EquivalenceClasses.of(rows, false);
        assertThat(classes.k()).isEqualTo(2);
        assertThat(RecognitionRisk.prosecutor(classes, 0.09)).isEqualTo(new RecognitionRisk(0.5, 0.375, 8, 8));
        assertThat(Generalisation.of(fine(rows), only(3, 0.1))).isEmpty();
        assertThat(Generalisation.of(fine(rows), only(3, 0.25)).orElseThrow().removed())
                .containsExactly(6, 7);
    }

    @Test
    void p02CountsPatientsAndNotRows() {
        EquivalenceClasses classes = EquivalenceClasses.of(rows("x", "a", "a", "a", "a", "b", "b"), false);
        assertThat(classes.k()).isEqualTo(2);
        assertThat(classes.patients()).isEqualTo(2);
        assertThat(RecognitionRisk.prosecutor(classes, 0.09).highest()).isEqualTo(0.5);
    }

    @Test
    void p03WeighsAPopulation() {
        List<ClassSize> classes = List.of(new ClassSize(3, 30), new ClassSize(2, 10), new ClassSize(1, 4));
        RecognitionRisk journalist = RecognitionRisk.journalist(classes, 0.09);
        assertThat(journalist.highest()).isEqualTo(0.25);
        assertThat(journalist.average()).isCloseTo(0.091667, SIX_FIGURES);
        assertThat(journalist.atRisk()).isEqualTo(3);
        assertThat(journalist.patients()).isEqualTo(6);
        assertThat(RecognitionRisk.marketer(classes)).isCloseTo(0.091667, SIX_FIGURES);
    }

    @Test
    void p04TakesTheLargerOfTheTwoAverages() {
        List<ClassSize> classes = List.of(new ClassSize(1, 8), new ClassSize(9, 10));
        assertThat(RecognitionRisk.journalist(classes, 0.09).average()).isCloseTo(0.111111, SIX_FIGURES);
        assertThat(RecognitionRisk.marketer(classes)).isCloseTo(0.1025, SIX_FIGURES);
    }

    @Test
    void p05NeverRoundsTheThreshold() {
        assertThat(RecognitionRisk.smallestClass(0.09)).isEqualTo(12);
        assertThat(RecognitionRisk.smallestClass(0.2)).isEqualTo(5);
        assertThat(RecognitionRisk.smallestClass(1)).isEqualTo(1);
        assertThat(RecognitionRisk.journalist(List.of(new ClassSize(11, 11)), 0.09)
                        .atRisk())
                .isEqualTo(11);
        assertThat(RecognitionRisk.journalist(List.of(new ClassSize(12, 12)), 0.09)
                        .atRisk())
                .isZero();
    }

    @Test
    void p06CountsSecrets() {
        List<Long> a = List.of(3L, 1L);
        List<Long> b = List.of(2L, 1L, 1L);
        List<Long> c = List.of(5L, 0L);
        assertThat(Diversity.distinct(a)).isEqualTo(2);
        assertThat(Diversity.entropy(a)).isCloseTo(1.754765, SIX_FIGURES);
        assertThat(Diversity.distinct(b)).isEqualTo(3);
        assertThat(Diversity.entropy(b)).isCloseTo(2.828427, SIX_FIGURES);
        assertThat(Diversity.distinct(c)).isEqualTo(1);
        assertThat(Diversity.entropy(c)).isEqualTo(1);
        assertThat(Diversity.recursive(a, 2, 2)).isFalse();
        assertThat(Diversity.recursive(b, 2, 2)).isTrue();
    }

    @Test
    void p06RefusesAClassWithOneSecret() {
        List<Fine> rows = fine(rows("x", "a", "b", "c", "d", "e"));
        assertThat(Generalisation.of(rows, new Demand(5, 1, 1, 1, false, 0.1))).isPresent();
        assertThat(Generalisation.of(rows, new Demand(5, 2, 1, 1, false, 0.1))).isEmpty();
        assertThat(Generalisation.of(rows, new Demand(5, 1, 1.5, 1, false, 0.1)))
                .isEmpty();
    }

    @Test
    void p07JoinsTheRowsOfAPatientWhereThatCanBeDone() {
        List<DisclosedRow> rows = new ArrayList<>();
        for (String[] one :
                new String[][] {{"a", "2024"}, {"a", "2025"}, {"b", "2024"}, {"c", "2025"}, {"d", "2025"}, {"d", "2024"}
                }) {
            rows.add(new DisclosedRow(one[0], List.of("2-4 y", one[1]), "none"));
        }
        assertThat(EquivalenceClasses.of(rows, false).k()).isEqualTo(3);
        EquivalenceClasses linked = EquivalenceClasses.of(rows, true);
        assertThat(linked.k()).isEqualTo(1);
        assertThat(linked.all())
                .extracting(EquivalenceClasses.EquivalenceClass::patients)
                .containsExactly(Set.of("a", "d"), Set.of("b"), Set.of("c"));
    }

    /** Levels of age from the finest band on, and of the unit. */
    private static Fine p08(String patient, String first, String second, String third, String site) {
        return new Fine(patient, List.of(List.of(first, second, third), List.of(site, "*")), "none");
    }

    private static final List<Fine> P08 = List.of(
            p08("p1", "0-6 d", "0-27 d", "< 2 y", "S1"),
            p08("p2", "7-27 d", "0-27 d", "< 2 y", "S1"),
            p08("p3", "7-27 d", "0-27 d", "< 2 y", "S2"),
            p08("p4", "28 d-2 mo", "28 d-23 mo", "< 2 y", "S2"),
            p08("p5", "6-11 mo", "28 d-23 mo", "< 2 y", "S1"),
            p08("p6", "12-23 mo", "28 d-23 mo", "< 2 y", "S2"),
            p08("p7", "12-23 mo", "28 d-23 mo", "< 2 y", "S1"),
            p08("p8", "5-7 y", "2-11 y", "2-17 y", "S2"),
            p08("p9", "8-11 y", "2-11 y", "2-17 y", "S1"),
            p08("p9", "8-11 y", "2-11 y", "2-17 y", "S1"),
            p08("p10", "8-11 y", "2-11 y", "2-17 y", "S2"),
            p08("p11", "15-17 y", "12-17 y", "2-17 y", "S1"));

    @Test
    void p08FindsTheLevelsThatLoseLeast() {
        Generalisation found = Generalisation.of(P08, only(3, 0.1)).orElseThrow();
        assertThat(found.levels()).containsExactly(1, 1);
        assertThat(found.removed()).containsExactly(11);
        assertThat(found.classes().all())
                .extracting(EquivalenceClasses.EquivalenceClass::size)
                .containsExactly(3, 4, 3);
        assertThat(found.classes().k()).isEqualTo(3);
        RecognitionRisk risk = RecognitionRisk.prosecutor(found.classes(), 0.09);
        assertThat(risk.highest()).isCloseTo(1 / 3.0, SIX_FIGURES);
        assertThat(risk.average()).isCloseTo(0.3, SIX_FIGURES);
        assertThat(risk.patients()).isEqualTo(10);
        assertThat(Generalisation.at(P08, only(3, 0.1), List.of(2, 0)).removed())
                .containsExactly(7, 8, 9, 10, 11);
        assertThat(Generalisation.at(P08, only(3, 0.1), List.of(2, 1)).removed())
                .isEmpty();
    }

    @Test
    void p09TakesAgeAndWeightTogether() {
        List<String> weights = List.of("< 1.0", "1.0-1.49", "1.5-2.49", "1.5-2.49", "2.5-4.9");
        List<Fine> rows = new ArrayList<>();
        List<Fine> weighed = new ArrayList<>();
        for (int i = 0; i < 5; i++) {
            List<String> age = List.of(List.of("0", "1", "2", "5", "6").get(i), "0-6 d");
            rows.add(new Fine("p" + i, List.of(age), "none"));
            weighed.add(new Fine(
                    "p" + i, List.of(age, List.of(weights.get(i), i < 4 ? "< 2.5" : "2.5-9.9", "*")), "none"));
        }
        Demand any = only(1, 0);
        assertThat(Generalisation.at(rows, any, List.of(0)).classes().k()).isEqualTo(1);
        assertThat(Generalisation.at(rows, any, List.of(1)).classes().k()).isEqualTo(5);
        assertThat(Generalisation.at(weighed, any, List.of(1, 0)).classes().k()).isEqualTo(1);
        assertThat(Generalisation.at(weighed, any, List.of(1, 1)).classes().k()).isEqualTo(1);
        assertThat(Generalisation.at(weighed, any, List.of(1, 2)).classes().k()).isEqualTo(5);
    }

    /** The example of Li, Li and Venkatasubramanian 2007 (from memory, worked out again): nine salaries. */
    @Test
    void p18AgreesWithThePublishedExampleOfCloseness() {
        List<Long> all = List.of(1L, 1L, 1L, 1L, 1L, 1L, 1L, 1L, 1L);
        assertThat(Closeness.ORDERED.of(List.of(1L, 1L, 1L, 0L, 0L, 0L, 0L, 0L, 0L), all))
                .isCloseTo(0.375, SIX_FIGURES);
        assertThat(Closeness.ORDERED.of(List.of(0L, 0L, 0L, 1L, 0L, 1L, 0L, 0L, 1L), all))
                .isCloseTo(1 / 6.0, SIX_FIGURES);
    }

    @Test
    void p18MeasuresBandsOfSaturation() {
        List<Long> all = List.of(6L, 3L, 2L, 1L);
        List<Long> eight = List.of(6L, 2L, 0L, 0L);
        List<Long> four = List.of(0L, 1L, 2L, 1L);
        assertThat(Closeness.ORDERED.of(eight, all)).isCloseTo(7 / 36.0, SIX_FIGURES);
        assertThat(Closeness.ORDERED.of(four, all)).isCloseTo(7 / 18.0, SIX_FIGURES);
        assertThat(Closeness.UNORDERED.of(eight, all)).isCloseTo(0.25, SIX_FIGURES);
        assertThat(Closeness.UNORDERED.of(four, all)).isCloseTo(0.5, SIX_FIGURES);
    }

    @Test
    void leavesOutClassesThatAreFarFromAll() {
        List<Fine> rows = new ArrayList<>();
        for (int i = 0; i < 20; i++) {
            rows.add(new Fine("a" + i, List.of(List.of("x", "*")), i < 10 ? "yes" : "no"));
            rows.add(new Fine("b" + i, List.of(List.of("y", "*")), "no"));
        }
        assertThat(Generalisation.of(rows, new Demand(5, 1, 1, 0.3, false, 0))
                        .orElseThrow()
                        .levels())
                .containsExactly(0);
        assertThat(Generalisation.of(rows, new Demand(5, 1, 1, 0.2, false, 0))
                        .orElseThrow()
                        .levels())
                .containsExactly(1);
    }

    @Test
    void tellsWhatIsLostByOutcome() {
        List<Fine> rows = new ArrayList<>();
        for (int i = 0; i < 18; i++) {
            rows.add(new Fine("a" + i, List.of(List.of("common")), i == 0 ? "severe" : "none"));
        }
        rows.add(new Fine("r", List.of(List.of("rare")), "severe"));
        Map<String, Loss> lost =
                Generalisation.of(rows, only(5, 0.1)).orElseThrow().lost(rows);
        assertThat(lost).isEqualTo(Map.of("none", new Loss(0, 17), "severe", new Loss(1, 2)));
        assertThat(new Loss(1, 2).overATenth()).isTrue();
        assertThat(new Loss(1, 10).overATenth()).isFalse();
    }

    @Test
    void findsRareValuesByPatients() {
        List<RareValues.Held> held = new ArrayList<>();
        for (int i = 0; i < 5; i++) {
            held.add(new RareValues.Held("p" + i, "common"));
            held.add(new RareValues.Held("same", "rare"));
        }
        assertThat(RareValues.of(held, 5)).containsExactly("rare");
    }

    /** What is demanded is counted anew with plain loops, and every choice before the one found breaks it. */
    @ParameterizedTest
    @MethodSource("lists")
    void keepsWhatItPromises(List<Fine> rows) {
        Demand demand = new Demand(3, 2, 1, 1, false, 0.1);
        Optional<Generalisation> found = Generalisation.of(rows, demand);
        for (int sum = 0; sum <= 4; sum++) {
            for (int first = 0; first <= Math.min(sum, 2); first++) {
                int second = sum - first;
                if (second > 2) {
                    continue;
                }
                List<Integer> levels = List.of(first, second);
                Set<Integer> out = plain(rows, levels);
                if (out.size() <= rows.size() / 10) {
                    assertThat(found).isPresent();
                    assertThat(found.get().levels()).isEqualTo(levels);
                    assertThat(new HashSet<>(found.get().removed())).isEqualTo(out);
                    return;
                }
            }
        }
        assertThat(found).isEmpty();
    }

    private static Set<Integer> plain(List<Fine> rows, List<Integer> levels) {
        Set<Integer> out = new HashSet<>();
        for (int i = 0; i < rows.size(); i++) {
            Set<String> patients = new HashSet<>();
            Set<String> secrets = new HashSet<>();
            for (Fine other : rows) {
                boolean alike = true;
                for (int q = 0; q < 2; q++) {
                    alike &= other.levels()
                            .get(q)
                            .get(levels.get(q))
                            .equals(rows.get(i).levels().get(q).get(levels.get(q)));
                }
                if (alike) {
                    patients.add(other.patient());
                    secrets.add(other.sensitive());
                }
            }
            if (patients.size() < 3 || secrets.size() < 2) {
                out.add(i);
            }
        }
        return out;
    }

    static Stream<List<Fine>> lists() {
        return RandomInputs.draws(60, RecognitionTest::list);
    }

    private static List<Fine> list(SplittableRandom random) {
        List<Fine> rows = new ArrayList<>();
        int n = random.nextInt(20, 60);
        for (int i = 0; i < n; i++) {
            int a = (int) Math.sqrt(random.nextInt(64));
            int b = (int) Math.sqrt(random.nextInt(36));
            Fine row = new Fine(
                    "p" + random.nextInt(n),
                    List.of(List.of("a" + a, "a" + a / 4 + "..", "*"), List.of("b" + b, "b" + b / 3 + "..", "*")),
                    random.nextInt(4) == 0 ? "yes" : "no");
            rows.add(row);
        }
        return rows;
    }

    @Test
    void tellsTheCallerWhatCannotBe() {
        assertThatIllegalArgumentException().isThrownBy(() -> RecognitionRisk.smallestClass(0));
        assertThatIllegalArgumentException().isThrownBy(() -> RecognitionRisk.smallestClass(Double.NaN));
        assertThatIllegalArgumentException().isThrownBy(() -> new ClassSize(3, 2));
        assertThatIllegalArgumentException().isThrownBy(() -> new Demand(0, 1, 1, 1, false, 0.1));
        assertThatIllegalArgumentException().isThrownBy(() -> new Demand(1, 1, Double.NaN, 1, false, 0.1));
        assertThatIllegalArgumentException().isThrownBy(() -> Diversity.entropy(List.of(0L)));
        assertThatIllegalArgumentException().isThrownBy(() -> Diversity.recursive(List.of(1L), 2, 1));
        assertThatIllegalArgumentException().isThrownBy(() -> Closeness.ORDERED.of(List.of(1L), List.of(1L, 2L)));
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Generalisation.of(
                        List.of(
                                new Fine("a", List.of(List.of("x", "1")), "s"),
                                new Fine("b", List.of(List.of("x", "2")), "s")),
                        only(1, 0)))
                .withMessage("a value of level 0 has two of the next");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Generalisation.of(
                        List.of(
                                new Fine("a", List.of(List.of("x", "1")), "s"),
                                new Fine("b", List.of(List.of("x", "1", "*")), "s")),
                        only(1, 0)))
                .withMessage("rows differ in their levels");
        assertThat(Generalisation.of(List.of(), only(1, 0))).isEmpty();
    }
}
