package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.registry.access.Site;
import airway.registry.charts.Comparison.Modelled;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.SplittableRandom;
import org.apache.commons.math3.distribution.TDistribution;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.MatrixUtils;
import org.apache.commons.math3.linear.RealMatrix;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;

/** Like for like by a model over operators, against a reader in plain loops that knows no rule of the house. */
class ModellingTest {
    private static final Cohort ALL = new Cohort(
            List.of(new Site((short) 1, "u", "Unit", "picu", ZoneId.of("UTC"), true)), null, null, Map.of(), Set.of());
    private static final List<Stratum> ASKED = List.of(Stratum.DIFFICULTY_PREDICTED, Stratum.OPERATOR_EXPERIENCE);

    private static CountQuery.Cell cell(
            String group, String hard, String experience, @Nullable Integer hands, long x, long n) {
        return new CountQuery.Cell(group, group, List.of(hard, experience), false, hands, new Counted(x, n, 0, 0, 0));
    }

    private static Comparison compare(List<CountQuery.Cell> cells) {
        return new Comparing(List.of(), ASKED, false, null).of(Measure.FPS, null, "device_setup_id", ALL, cells);
    }

    /** One case each: who, which group, how hard, and how it ended. */
    private static List<CountQuery.Cell> cases(int people, int each, String... groups) {
        SplittableRandom random = new SplittableRandom(27);
        List<CountQuery.Cell> cells = new ArrayList<>();
        for (int person = 0; person < people; person++) {
            String experience = List.of("lt10", "10_24", "25_100", "gt100").get(person % 4);
            for (int i = 0; i < each; i++) {
                boolean hard = random.nextInt(3) == 0;
                String group = groups[hard && random.nextBoolean() ? 0 : random.nextInt(groups.length)];
                double risk = 0.55 + 0.08 * (person % 4) - (hard ? 0.2 : 0) + (group.equals("b") ? 0.1 : 0);
                cells.add(cell(group, hard ? "yes" : "no", experience, person, random.nextDouble() < risk ? 1 : 0, 1));
            }
        }
        return cells;
    }

    private static Modelled modelled(List<CountQuery.Cell> cells) {
        Comparison comparison = compare(cells);
        return Objects.requireNonNull(comparison.modelled(), () -> String.valueOf(comparison.unmodelled()));
    }

    /** Whoever reads the cases one by one: Newton's steps, a sandwich of the operators' scores, slopes by small changes. */
    private static final class Naive {
        private final List<double[]> rows = new ArrayList<>();
        private final List<Integer> outcomes = new ArrayList<>();
        private final List<Integer> people = new ArrayList<>();
        private final int groups;
        private double[] beta;

        Naive(List<CountQuery.Cell> cells, List<String> groups) {
            this.groups = groups.size();
            for (CountQuery.Cell cell : cells) {
                List<Double> row = new ArrayList<>(List.of(1.0));
                groups.subList(1, groups.size())
                        .forEach(group -> row.add(cell.group().equals(group) ? 1.0 : 0));
                row.add(cell.answers().get(0).equals("yes") ? 1.0 : 0);
                for (String experience : List.of("10_24", "25_100", "gt100")) {
                    row.add(cell.answers().get(1).equals(experience) ? 1.0 : 0);
                }
                rows.add(row.stream().mapToDouble(value -> value).toArray());
                outcomes.add((int) cell.counted().x());
                people.add(Objects.requireNonNull(cell.hands()));
            }
            beta = new double[rows.get(0).length];
            for (int step = 0; step < 50; step++) {
                double[] score = new double[beta.length];
                for (int i = 0; i < rows.size(); i++) {
                    for (int j = 0; j < beta.length; j++) {
                        score[j] += rows.get(i)[j] * (outcomes.get(i) - risk(rows.get(i), beta));
                    }
                }
                double[] move = bread().operate(score);
                for (int j = 0; j < beta.length; j++) {
                    beta[j] += move[j];
                }
            }
        }

        private static double risk(double[] row, double[] beta) {
            double sum = 0;
            for (int j = 0; j < beta.length; j++) {
                sum += row[j] * beta[j];
            }
            return 1 / (1 + Math.exp(-sum));
        }

        private RealMatrix bread() {
            RealMatrix information = MatrixUtils.createRealMatrix(beta.length, beta.length);
            for (double[] row : rows) {
                double p = risk(row, beta);
                for (int j = 0; j < beta.length; j++) {
                    for (int l = 0; l < beta.length; l++) {
                        information.addToEntry(j, l, p * (1 - p) * row[j] * row[l]);
                    }
                }
            }
            return new LUDecomposition(information).getSolver().getInverse();
        }

        private double average(int group, double[] at) {
            double sum = 0;
            for (double[] row : rows) {
                double[] set = row.clone();
                for (int g = 1; g < groups; g++) {
                    set[g] = g == group ? 1 : 0;
                }
                sum += risk(set, at);
            }
            return sum / rows.size();
        }

        double difference(int a, int b) {
            return average(a, beta) - average(b, beta);
        }

        double error(int a, int b) {
            int g = (int) people.stream().distinct().count();
            RealMatrix meat = MatrixUtils.createRealMatrix(beta.length, beta.length);
            for (int person : people.stream().distinct().toList()) {
                double[] score = new double[beta.length];
                for (int i = 0; i < rows.size(); i++) {
                    for (int j = 0; people.get(i) == person && j < beta.length; j++) {
                        score[j] += rows.get(i)[j] * (outcomes.get(i) - risk(rows.get(i), beta));
                    }
                }
                RealMatrix one = MatrixUtils.createColumnRealMatrix(score);
                meat = meat.add(one.multiply(one.transpose()).scalarMultiply(g / (g - 1.0)));
            }
            double[] slopes = new double[beta.length];
            for (int j = 0; j < beta.length; j++) {
                double[] up = beta.clone();
                double[] down = beta.clone();
                up[j] += 1e-6;
                down[j] -= 1e-6;
                slopes[j] = ((average(a, up) - average(b, up)) - (average(a, down) - average(b, down))) / 2e-6;
            }
            RealMatrix slope = MatrixUtils.createColumnRealMatrix(slopes);
            RealMatrix covariance = bread().multiply(meat).multiply(bread());
            return Math.sqrt(
                    slope.transpose().multiply(covariance).multiply(slope).getEntry(0, 0));
        }
    }

    @Test
    void saysWhatAReaderInPlainLoopsSays() {
        List<CountQuery.Cell> cells = cases(16, 30, "a", "b", "c");
        Modelled modelled = modelled(cells);
        // Groups stand in the order in which the cells name them first.
        Naive naive = new Naive(
                cells,
                compare(cells).compared().stream().map(group -> group.code()).toList());

        assertThat(modelled.operators()).isEqualTo(16);
        assertThat(modelled.n()).isEqualTo(480);
        assertThat(modelled.parameters())
                .as("two memberships, difficulty, three of experience")
                .isEqualTo(6);
        int number = 0;
        for (int a = 0; a < 3; a++) {
            for (int b = a + 1; b < 3; b++) {
                Comparison.Pair pair = modelled.pairs().get(number++);
                double half = new TDistribution(15).inverseCumulativeProbability(0.975) * naive.error(a, b);
                assertThat(pair.difference().value()).isCloseTo(naive.difference(a, b), within(1e-8));
                assertThat(pair.difference().lower()).isCloseTo(naive.difference(a, b) - half, within(1e-6));
                assertThat(pair.difference().upper()).isCloseTo(naive.difference(a, b) + half, within(1e-6));
                double p = 2
                        * new TDistribution(15)
                                .cumulativeProbability(-Math.abs(naive.difference(a, b) / naive.error(a, b)));
                assertThat(pair.p()).isCloseTo(p, within(1e-5));
            }
        }
    }

    @Test
    void leavesOutWhatLacksAnAnswerOrAnOperatorAndTellsIt() {
        List<CountQuery.Cell> cells = new ArrayList<>(cases(16, 30, "a", "b"));
        Modelled before = modelled(cells);
        cells.add(cell("a", "blank", "lt10", 3, 4, 7));
        cells.add(cell("b", "no", "lt10", null, 5, 9));
        Modelled after = modelled(cells);
        assertThat(after.result()).isEqualTo(before.result());
        assertThat(after.unanswered()).isEqualTo(7);
        assertThat(after.unknownHands()).isEqualTo(9);
        assertThat(String.join(" ", ModelWords.of(compare(cells))))
                .contains(
                        "Left out are 16 of 496 first attempts: 7 lack an answer, and of 9 the operator is not known.")
                .contains("Under 40 people: the intervals tend to be too narrow.")
                .contains("allowed for at once, and that first attempts of one of the 16 people resemble each other")
                .doesNotContainIgnoringCase("better", "causes", "improves");
    }

    @Test
    void tellsHowOftenTheModelFillsIn() {
        List<CountQuery.Cell> cells = new ArrayList<>(cases(16, 30, "a", "b"));
        assertThat(modelled(cells).filledIn()).isZero();
        for (int person = 0; person < 16; person++) {
            cells.add(cell("a", "limited", "gt100", person, person % 3 == 0 ? 1 : 2, 2));
        }
        assertThat(modelled(cells).filledIn()).isEqualTo(32);
        assertThat(String.join(" ", ModelWords.of(compare(cells))))
                .contains("32 of the 512 are of a kind that not every group met");
    }

    private static void refused(List<CountQuery.Cell> cells, String reason, @Nullable Integer needed, String words) {
        Comparison comparison = compare(cells);
        assertThat(comparison.modelled()).isNull();
        Comparison.Refusal refused = Objects.requireNonNull(comparison.unmodelled());
        assertThat(refused.reason()).isEqualTo(reason);
        assertThat(refused.needed()).isEqualTo(needed);
        assertThat(ModelWords.of(comparison)).hasSize(1).first().asString().contains("Not compared by a model.", words);
    }

    @Test
    void refusesFewerThanTenPeople() {
        refused(cases(9, 40, "a", "b"), "TOO_FEW_CLUSTERS", 10, "at least 10 people with every answer; 9 are known");
    }

    @Test
    void refusesMoreParametersThanOutcomesAllow() {
        refused(cases(10, 9, "a", "b"), "LOW_EVENTS_PER_VARIABLE", 50, "needs 50 encounters of the rarer outcome");
    }

    @Test
    void refusesWhatSomeAnswerDecides() {
        List<CountQuery.Cell> cells = new ArrayList<>(cases(16, 30, "a", "b"));
        for (int person = 0; person < 16; person++) {
            cells.add(cell("a", "limited", "gt100", person, 2, 2));
        }
        refused(cells, "SEPARATION", null, "everything went one way");
    }

    @Test
    void refusesToSpeakForFew() {
        List<CountQuery.Cell> cells = new ArrayList<>(cases(16, 30, "a", "b"));
        cells.add(cell("b", "no", "lt10", null, 300, 481));
        refused(cells, "TOO_LITTLE_KNOWN", null, "Only 480 of 961 first attempts");
    }

    @Test
    void refusesAGroupThatIsKnownInTooFew() {
        List<CountQuery.Cell> cells = new ArrayList<>(cases(16, 30, "a"));
        for (int i = 0; i < 19; i++) {
            cells.add(cell("b", "no", "lt10", i % 16, i % 2, 1));
        }
        cells.add(cell("b", "no", "lt10", null, 1, 1));
        refused(cells, "TOO_FEW_OBSERVATIONS", 20, "“b” has 19");
    }
}
