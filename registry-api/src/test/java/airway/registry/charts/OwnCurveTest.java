package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import airway.registry.access.Site;
import airway.registry.charts.OwnCurve.Levels;
import airway.registry.charts.OwnCurve.Verdict;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Code;
import airway.stats.sequential.LcCusum;
import java.time.Instant;
import java.time.YearMonth;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.junit.jupiter.api.Test;

/** A series of cases, drawn and told as the registry does its own. */
class OwnCurveTest {
    private static final Cohort ALL = new Cohort(
            List.of(new Site((short) 1, "u", "Unit", "picu", ZoneId.of("UTC"), true)), null, null, Map.of(), Set.of());
    private static final Code METAL = new Code("metal", "Metal");
    private static final Instant NOW = Instant.parse("2026-11-24T12:00:00Z");

    /** Made by the rules of Biau 2008; the sums were worked out outside (scipy 1.10, again in R 4.2). */
    private static final int[] FAILURES = {
        0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 0, 0, 0,
        0, 0, 0
    };

    private static OwnCurve curve(Levels levels, int... failures) {
        List<OwnCurve.Own> own = new ArrayList<>();
        for (int i = 0; i < failures.length; i++) {
            YearMonth month = YearMonth.of(2023, 1).plusMonths(i);
            own.add(new OwnCurve.Own(METAL, new OneByOne.Case(month, (short) (1 - failures[i]), false, false)));
        }
        return OwnCurve.of(new Question(Measure.FPS, null, ALL), levels, YearMonth.of(2026, 11), NOW, own);
    }

    private static int[] first(int cases) {
        return java.util.Arrays.copyOf(FAILURES, cases);
    }

    /** The limit 4.06 (one false signal in ten within 100 cases): R 4.2, own recursion; the sum passes it at case 24. */
    @Test
    void drawsAndTellsTheSeriesAsItWasWorkedOutElsewhere() {
        OwnCurve own = curve(new Levels(0.2, 0.4), FAILURES);

        LcCusum curve = own.curve().orElseThrow();
        assertThat(curve.path().sums().at(3).getAsDouble()).isZero();
        assertThat(curve.path().sums().at(8).getAsDouble()).isCloseTo(0.45758110924717876, within(1e-9));
        assertThat(curve.path().sums().at(24).getAsDouble()).isCloseTo(4.079665015463947, within(1e-9));
        assertThat(curve.path().sums().at(40).getAsDouble()).isCloseTo(6.720919668668987, within(1e-9));
        assertThat(curve.design().h()).isCloseTo(4.06, within(1e-9));
        assertThat(own.verdict()).isEqualTo(Verdict.SHOWN);
        assertThat(String.join(" ", LearningWords.curve(own)))
                .contains("The level aimed for: 80 of 100 succeed. The level that is not enough: 60 of 100.")
                .contains("the count reached its line with case 24 (Dec 2024)")
                .contains("10 would be shown to be at the level aimed for within 100 cases");
        assertThat(StripSvg.learning(own, StripSvg.Size.DESKTOP)).contains("The line is reached, case 24, Dec 2024");
        assertThat(LearningWords.soFar(own)).startsWith("So far 35 of 40 (88%), 95% interval");
    }

    @Test
    void saysNotYetShownAndNeverFailed() {
        OwnCurve own = curve(new Levels(0.2, 0.4), first(23));
        assertThat(own.verdict()).isEqualTo(Verdict.NOT_YET_SHOWN);
        assertThat(String.join(" ", LearningWords.curve(own)))
                .contains("Not yet shown to be at the level aimed for. That is not a finding of the opposite")
                .doesNotContainIgnoringCase("failed", "incompetent", "unacceptable");
        assertThat(StripSvg.learning(own, StripSvg.Size.PHONE)).doesNotContain("The line is reached");
    }

    /** Nineteen successes reach the line at these levels; still nothing is concluded from under 20 cases. */
    @Test
    void concludesNothingFromUnderTwentyCases() {
        OwnCurve own = curve(new Levels(0.1, 0.5), new int[19]);
        assertThat(own.curve().orElseThrow().competenceAt()).isPresent();
        assertThat(own.verdict()).isEqualTo(Verdict.TOO_FEW_CASES);
        assertThat(String.join(" ", LearningWords.curve(own)))
                .contains("Under 20 cases with a known answer (19): the path is drawn, and nothing is concluded");
        assertThat(LearningJson.of(own).at("/lc_cusum/shown_at").isNull()).isTrue();
    }

    @Test
    void drawsNothingWithoutACase() {
        OwnCurve own = curve(Levels.USUAL);
        assertThat(own.verdict()).isEqualTo(Verdict.NO_CASES);
        assertThat(StripSvg.learning(own, StripSvg.Size.PHONE)).isEmpty();
        assertThat(LearningJson.of(own).at("/lc_cusum/path")).isEmpty();
    }

    private static Bands.Band band(int people, long most, long n) {
        return new Bands.Band("lt10", "Under 10", new Counted(n / 2, n, 3, 0, 0), people, most);
    }

    @Test
    void showsABandOnlyWhereItHidesItsPeople() {
        assertThat(band(5, 16, 20).shown()).isTrue();
        assertThat(band(4, 5, 20).shown()).as("four people").isFalse();
        assertThat(band(5, 17, 20).shown()).as("one with 85 of 100").isFalse();
        String one = LearningJson.of(new Bands(
                        new Question(Measure.FPS, null, ALL),
                        Map.of(Stratum.OPERATOR_EXPERIENCE, List.of(band(4, 5, 20)))))
                .at("/by/operator_experience/bands/0")
                .toString();
        assertThat(one).isEqualTo("{\"code\":\"lt10\",\"label\":\"Under 10\",\"hidden\":true}");
    }
}
