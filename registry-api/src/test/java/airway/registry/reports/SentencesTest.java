package airway.registry.reports;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.registry.access.Site;
import airway.registry.charts.SetupsBeside;
import airway.registry.cohort.Measure;
import airway.registry.quality.Completeness;
import airway.registry.reports.Figures.Figure;
import airway.registry.reviews.Reviewed;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Each sentence against its numbers: the figures are read out of the words again and compared with counts and with intervals that
 * are worked out here by the printed formulas, not by the module of statistics: Wilson 1927, J Am Stat Assoc 22:209-212, and
 * Newcombe 1998, Stat Med 17:873-890, method 10 (both from memory).
 */
class SentencesTest {
    private static final double Z = 1.959963984540054;
    private static final Pattern COUNT =
            Pattern.compile("(\\d+) of (\\d+)(?: \\(([\\d.]+)%, 95% interval ([\\d.]+)% to" + " ([\\d.]+)%\\))?");
    private static final Pattern GAP =
            Pattern.compile("(\u2212?[\\d.]+) points? \\(95% interval (\u2212?[\\d.]+) to (\u2212?[\\d.]+)\\)");
    private static final List<String> RANKING = List.of("better", "best", "worse", "worst", "improved", "winner");

    static Figures figures(boolean over, Tally quarter, Tally year, Tally before) {
        List<Figure> figures = Figures.FIRST_PAGE.stream()
                .map(measure -> new Figure(measure, quarter, year, before))
                .toList();
        return new Figures(
                new Site((short) 1, "harbour", "Harbour", "picu", ZoneId.of("Europe/London"), true),
                Quarter.parse("2026-Q3"),
                Instant.parse("2026-11-24T12:00:00Z"),
                over,
                quarter.n(),
                year.n() + before.n(),
                0,
                figures,
                new Completeness(
                        quarter.n(),
                        new Completeness.Part(0, 0),
                        new Completeness.Part(0, 0),
                        new Completeness.Part(0, 0),
                        new Completeness.Part(0, 0),
                        new Completeness.Part(0, 0),
                        0,
                        0,
                        3),
                null,
                List.of(),
                Map.of(),
                new SetupsBeside(List.of(), List.of(), List.of()),
                new Reviewed(0, 0, List.of()));
    }

    /** Empty; a single case; all successes; and drawn ones, small and large. */
    static Stream<List<Tally>> quarters() {
        Tally nothing = Tally.NOTHING;
        Random random = new Random(20261124);
        return Stream.concat(
                Stream.of(
                        List.of(nothing, nothing, nothing),
                        List.of(new Tally(1, 1, 0, 0), new Tally(1, 1, 0, 0), nothing),
                        List.of(new Tally(0, 1, 2, 1), new Tally(0, 1, 2, 1), new Tally(3, 4, 0, 0)),
                        List.of(new Tally(12, 12, 0, 0), new Tally(48, 48, 0, 0), new Tally(40, 40, 1, 0)),
                        List.of(new Tally(0, 12, 0, 0), new Tally(0, 48, 0, 0), new Tally(0, 40, 0, 0)),
                        // The difference just leaves 0 out: its limit must not be printed as 0.
                        List.of(new Tally(75, 83, 1, 2), new Tally(255, 329, 8, 3), new Tally(473, 688, 11, 9))),
                IntStream.range(0, 60).mapToObj(i -> {
                    int most = i % 3 == 0 ? 8 : i % 3 == 1 ? 60 : 900;
                    Tally before = drawn(random, most);
                    Tally quarter = drawn(random, most / 2);
                    return List.of(quarter, quarter.plus(drawn(random, most)), before);
                }));
    }

    private static Tally drawn(Random random, int most) {
        long n = random.nextInt(most + 1);
        return new Tally(n == 0 ? 0 : random.nextLong(n + 1), n, random.nextInt(5), random.nextInt(5));
    }

    private static double[] wilson(Tally tally) {
        double n = tally.n();
        double p = tally.x() / n;
        double middle = (p + Z * Z / (2 * n)) / (1 + Z * Z / n);
        double half = Z / (1 + Z * Z / n) * Math.sqrt(p * (1 - p) / n + Z * Z / (4 * n * n));
        return new double[] {p, Math.max(0, middle - half), Math.min(1, middle + half)};
    }

    private static double[] newcombe(Tally later, Tally earlier) {
        double[] one = wilson(later);
        double[] two = wilson(earlier);
        double d = one[0] - two[0];
        return new double[] {
            d,
            d - Math.sqrt(Math.pow(one[0] - one[1], 2) + Math.pow(two[2] - two[0], 2)),
            d + Math.sqrt(Math.pow(one[2] - one[0], 2) + Math.pow(two[0] - two[1], 2))
        };
    }

    private static void tellsTheCount(String words, Tally tally) {
        if (tally.n() == 0) {
            assertThat(words).contains(Tally.NO_VALUE).doesNotContain("%");
            return;
        }
        Matcher found = COUNT.matcher(words);
        assertThat(found.find()).as(words).isTrue();
        assertThat(found.group(1)).isEqualTo(String.valueOf(tally.x()));
        assertThat(found.group(2)).isEqualTo(String.valueOf(tally.n()));
        if (tally.n() < 5) {
            assertThat(words).doesNotContain("%").contains("too few for a percentage");
            return;
        }
        double[] expected = wilson(tally);
        double rounding = tally.n() < 100 ? 0.5 : 0.05;
        for (int i = 0; i < expected.length; i++) {
            assertThat(Double.parseDouble(found.group(3 + i)))
                    .as(words)
                    .isCloseTo(100 * expected[i], within(rounding + 1e-9));
        }
    }

    @ParameterizedTest
    @MethodSource("quarters")
    void everyFigureOfASentenceIsTheCountOrMadeFromIt(List<Tally> tallies) {
        Figures figures = figures(true, tallies.get(0), tallies.get(1), tallies.get(2));
        Sentences sentences = new Sentences(figures, Readers.UNIT);
        for (Figure figure : figures.measures()) {
            String quarter = sentences.quarter(figure);
            assertThat(quarter).startsWith(figure.measure().title() + " in the quarter: ");
            tellsTheCount(quarter.substring(quarter.indexOf(": ")), figure.quarter());

            String[] years = sentences.years(figure).split(", against ", -1);
            assertThat(years[0]).startsWith("Over the 12 months to September 2026: ");
            tellsTheCount(years[0].substring(years[0].indexOf(": ")), figure.year());
            tellsTheCount(years[1], figure.before());

            tellsTheChange(sentences.change(figure), figure);
            assertThat(sentences.headline(figure))
                    .isEqualTo(quarter + " " + sentences.years(figure) + " " + sentences.change(figure));
            assertThat(sentences.leftOut(figure.year()))
                    .isEqualTo(figure.year().outside() + " by definition, "
                            + figure.year().unknown() + " not known");
            for (String word : RANKING) {
                assertThat(sentences.headline(figure)).doesNotContainIgnoringCase(word);
            }
        }
    }

    private static void tellsTheChange(String words, Figure figure) {
        if (figure.year().n() < 5 || figure.before().n() < 5) {
            assertThat(words).isEqualTo("There are too few intubations to set one year against the other.");
            return;
        }
        double[] expected = newcombe(figure.year(), figure.before());
        Matcher gap = GAP.matcher(words);
        assertThat(gap.find()).as(words).isTrue();
        List<Double> told = new ArrayList<>();
        for (int i = 0; i < expected.length; i++) {
            String text = gap.group(1 + i).replace('\u2212', '-');
            int point = text.indexOf('.');
            double rounding = 0.5 * Math.pow(10, point < 0 ? 0 : point + 1 - text.length());
            told.add(Double.parseDouble(text));
            assertThat(told.get(i)).as(words).isCloseTo(100 * expected[i], within(rounding + 1e-9));
        }
        boolean beyondChance = expected[1] > 0 || expected[2] < 0;
        assertThat(words.contains("more than chance usually gives")).as(words).isEqualTo(beyondChance);
        assertThat(words.contains("do not settle whether anything changed"))
                .as(words)
                .isEqualTo(!beyondChance);
        assertThat(told.get(1) > 0 || told.get(2) < 0)
                .as("what is said of the interval is seen in it: " + words)
                .isEqualTo(beyondChance);
    }

    @Test
    void saysOfAQuarterThatStillRunsThatItIsNotWhole() {
        Tally tally = new Tally(3, 7, 0, 0);
        Figures figures = figures(false, tally, tally, tally);
        Sentences sentences = new Sentences(figures, Readers.UNIT);

        assertThat(sentences.headline(figures.measures().get(0)))
                .contains("so far in the quarter: 3 of 7")
                .contains("the 12 months to September 2026, which are not over");
        Paper paper = Drafting.paper(figures, Texts.NONE, Readers.UNIT, new Drafting.Origin("1", false, null));
        assertThat(paper.notice()).contains("not over").contains("cannot be made final");
    }

    /** Cells from 1 to 4, on either side, and what could be turned back into one: the registry's rule for what leaves a unit. */
    @ParameterizedTest
    @MethodSource("quarters")
    void outsideTheUnitNoSmallCellCanBeReadOrWorkedOut(List<Tally> tallies) {
        Figures figures = figures(true, tallies.get(0), tallies.get(1), tallies.get(2));
        Paper paper = Drafting.paper(figures, Texts.NONE, Readers.BOARD, new Drafting.Origin("1", false, null));
        String all = new tools.jackson.databind.json.JsonMapper().writeValueAsString(paper);

        for (Matcher found = COUNT.matcher(all.replaceAll("completeness.*", "")); found.find(); ) {
            long x = Long.parseLong(found.group(1));
            long n = Long.parseLong(found.group(2));
            assertThat(x == 0 || x >= 5).as(found.group()).isTrue();
            assertThat(n - x == 0 || n - x >= 5).as(found.group()).isTrue();
        }
        assertThat(all).doesNotContain("In the quarter");
        for (Figure figure : figures.measures()) {
            assertThat(new Sentences(figures, Readers.BOARD).leftOut(figure.year()))
                    .as("no exact number, from which with the cases of another measure a small one follows")
                    .matches("(fewer than 5|about \\d*[05]) by definition, (fewer than 5|about \\d*[05]) not known");
        }
        for (int i = 0; i < 3; i++) {
            Tally tally = tallies.get(i);
            boolean small = tally.n() > 0
                    && ((tally.x() > 0 && tally.x() < 5) || (tally.n() > tally.x() && tally.n() - tally.x() < 5));
            if (small && i > 0) {
                for (Figure figure : figures.measures()) {
                    assertThat(new Sentences(figures, Readers.BOARD).change(figure))
                            .contains(Sentences.HIDDEN);
                }
            }
        }
    }

    @Test
    void tellsOfEverybodyOnlyWhereThatIsWhatWasWanted() {
        Tally all = new Tally(20, 20, 0, 0);
        Tally none = new Tally(0, 20, 0, 0);

        assertThat(Readers.BOARD.mayPrint(Measure.FPS, all)).isTrue();
        assertThat(Readers.BOARD.mayPrint(Measure.FPS, none)).isFalse();
        assertThat(Readers.BOARD.mayPrint(Measure.DESAT_80, all)).isFalse();
        assertThat(Readers.BOARD.mayPrint(Measure.DESAT_80, none)).isTrue();
        assertThat(Readers.UNIT.mayPrint(Measure.DESAT_80, all)).isTrue();
        assertThat(Readers.BOARD.mayPrint(Measure.FPS, new Tally(3, 3, 0, 0))).isFalse();
    }
}
