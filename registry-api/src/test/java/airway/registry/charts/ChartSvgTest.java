package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.changes.Change;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import java.io.IOException;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.UUID;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Pictures of charts over time. */
class ChartSvgTest {
    private static final Grouping MONTH = new Grouping(Grouping.Span.MONTH, 0);

    private static ChartRequest request(ChartKind kind, Average average) {
        return request(Measure.FPS, kind, average);
    }

    private static ChartRequest request(Measure measure, ChartKind kind, Average average) {
        return new ChartRequest(
                new Question(measure, null, new Cohort(List.of(), null, null, Map.of(), Set.of())),
                kind,
                MONTH,
                average);
    }

    @ParameterizedTest
    @CsvSource({
        "signals,DESKTOP",
        "signals,PHONE",
        "gaps,DESKTOP",
        "few,PHONE",
        "empty,DESKTOP",
        "phases,DESKTOP",
        "phases,PHONE",
        "kept,DESKTOP",
        "ewma,DESKTOP",
        "run,DESKTOP",
        "between,DESKTOP",
        "between,PHONE",
        "rate,DESKTOP",
        "groups,DESKTOP",
        "groups,PHONE",
        "saturation,DESKTOP",
        "saturation,PHONE",
        "seconds,DESKTOP"
    })
    void drawsTheSamePictureAsTheOneThatWasLookedAt(String name, ChartSvg.Size size) throws IOException {
        String file = name + "-" + size.name().toLowerCase(java.util.Locale.ROOT) + ".svg";
        LookedAt.isAs(file, ChartSvg.draw(chart(name), size));
    }

    /** Nine events expected in a group, and 9 - 3 √9 is 0 (Shewhart 1931): 157 events in 975 give more in groups of 56. */
    @Test
    void tellsHowLargeGroupsMustBeForALowerLimit() {
        assertThat(new ChartWords(groups()).reach())
                .singleElement()
                .asString()
                .contains("56 or more intubations for a lower limit over 0; the largest has 25");
    }

    private static Chart chart(String name) {
        return switch (name) {
            case "signals" -> chart(request(ChartKind.P, Average.EACH), counts(38, 27, 8), false, List.of());
            case "gaps" -> chart(request(ChartKind.P, Average.EACH), counts(24, 12, -1), true, List.of());
            case "few" -> chart(request(ChartKind.P, Average.EACH), counts(6, 9, -1), false, List.of());
            case "phases" -> chart(request(ChartKind.P, Average.EACH), stepped(), false, CHANGES);
            case "kept" -> chart(request(ChartKind.P, Average.KEPT), stepped(), false, CHANGES);
            case "ewma" -> chart(request(ChartKind.EWMA, Average.KEPT), stepped(), false, CHANGES);
            case "run" -> chart(request(ChartKind.RUN, Average.ONE), stepped(), false, CHANGES);
            case "between" -> between();
            case "rate" ->
                chart(request(Measure.AE_PER_ENCOUNTER, ChartKind.U, Average.EACH), events(), false, List.of());
            case "groups" -> groups();
            case "saturation" -> values(Measure.SPO2_LOW_MEDIAN, ChartKind.RUN, 84, 9, 100);
            case "seconds" -> values(Measure.DURATION_SUCCESS, ChartKind.XMR, 34, 14, 1_800);
            default -> chart(request(ChartKind.P, Average.EACH), new int[0][], false, List.of());
        };
    }

    private static final List<Change> CHANGES = List.of(
            new Change(
                    new UUID(0, 1),
                    LocalDate.of(2024, 3, 10),
                    "Checklist in the drawer",
                    "Asked for by the team",
                    false),
            new Change(new UUID(0, 1), LocalDate.of(2025, 5, 1), "Second set-up on the trolley", "More room", true));

    private static Chart chart(ChartRequest request, int[][] counts, boolean gaps, List<Change> changes) {
        List<Chart.Point> points = new ArrayList<>();
        YearMonth month = YearMonth.of(2023, 9);
        for (int i = 0; i < counts.length; i++, month = month.plusMonths(1)) {
            boolean gap = gaps && (i == 5 || i == 6);
            Counted counted = gap ? Counted.NOTHING : new Counted(counts[i][0], counts[i][1], i % 7 == 0 ? 1 : 0, 0, 0);
            points.add(Points.counted(
                    request.quantity(),
                    MONTH.code(month),
                    MONTH.words(month),
                    month.atDay(1),
                    counted,
                    i < counts.length - 1));
        }
        Counted total = points.stream().map(Chart.Point::counted).reduce(Counted.NOTHING, Counted::plus);
        return Judging.of(request, points, total, null, Points.marks(points, changes), List.of());
    }

    /** Forty groups of 25 with about four events each; the last one still fills. */
    private static Chart groups() {
        ChartRequest request = new ChartRequest(
                new Question(Measure.AE_PER_ENCOUNTER, null, new Cohort(List.of(), null, null, Map.of(), Set.of())),
                ChartKind.C,
                new Grouping(Grouping.Span.ENCOUNTERS, 25),
                Average.EACH);
        List<Chart.Point> points = new ArrayList<>();
        for (int i = 0; i < 40; i++) {
            int n = i < 39 ? 25 : 12;
            int first = i * 25 + 1;
            String name = first + "-" + (first + n - 1);
            Counted counted = new Counted(1 + (i * 7 + i * i) % 8, n, 0, 0, 0);
            points.add(Points.counted(request.quantity(), name, name.replace("-", " to "), null, counted, i < 39));
        }
        Counted total = points.stream().map(Chart.Point::counted).reduce(Counted.NOTHING, Counted::plus);
        return Judging.of(request, points, total, null, List.of(), List.of());
    }

    /** About six of ten for twenty months, then about eight of ten. */
    private static int[][] stepped() {
        int[][] counts = counts(38, 27, -1);
        for (int i = 0; i < counts.length; i++) {
            counts[i][0] = Math.round(counts[i][0] * (i < 20 ? 0.85f : 1.12f));
            counts[i][0] = Math.min(counts[i][0], counts[i][1]);
        }
        return counts;
    }

    /** About 0.3 events in an intubation, and one month of many. */
    private static int[][] events() {
        int[][] counts = counts(30, 40, -1);
        for (int i = 0; i < counts.length; i++) {
            counts[i][0] = i == 17 ? 34 : 8 + (i * 5) % 11;
        }
        return counts;
    }

    /** Medians of as many values a month as a small unit has; the third month has too few for an interval. */
    private static Chart values(Measure measure, ChartKind kind, int middle, int spread, int most) {
        ChartRequest request = request(measure, kind, Average.EACH);
        List<Chart.Point> points = new ArrayList<>();
        YearMonth month = YearMonth.of(2024, 9);
        for (int i = 0; i < 24; i++, month = month.plusMonths(1)) {
            int n = i == 2 ? 3 : 8 + (i * 7) % 9;
            Histogram values = Histogram.EMPTY;
            for (int j = 0; j < n; j++) {
                int value = middle + (i * 11) % spread - spread / 2 + (j * 13) % 21 - 10 + (i > 15 ? 3 : 0);
                values = values.plus(Histogram.of(Math.min(most, value), 1));
            }
            points.add(Points.counted(
                    request.quantity(),
                    MONTH.code(month),
                    MONTH.words(month),
                    month.atDay(1),
                    new Counted(0, n, 1, 1, 0, values),
                    i < 23));
        }
        Counted total = points.stream().map(Chart.Point::counted).reduce(Counted.NOTHING, Counted::plus);
        return Judging.of(request, points, total, null, List.of(), List.of());
    }

    private static Chart between() {
        ChartRequest request = request(ChartKind.G, Average.EACH);
        List<CountQuery.Event> events = new ArrayList<>();
        Instant at = Instant.parse("2024-01-05T10:00:00Z");
        for (int i = 0; i < 24; i++) {
            int cases = 1 + (i * 17) % 23 + (i == 15 ? 150 : 0);
            at = at.plus(Duration.ofDays(2L * cases));
            events.add(new CountQuery.Event(at, cases));
        }
        Points points = new Points(request, at.plus(Duration.ofDays(40)));
        Counted total = new Counted(310, 350, 4, 0, 0);
        return Judging.of(
                request, points.between(new CountQuery.Events(0, events, 12)), total, null, List.of(), List.of());
    }

    /** Invented counts, the same at every run: about seven of ten, one point far below. */
    private static int[][] counts(int points, int size, int low) {
        int[][] counts = new int[points][];
        for (int i = 0; i < points; i++) {
            int n = size + (i * 7) % 9 - 4;
            int x = Math.round(n * (0.7f + ((i * 11) % 13 - 6) / 40f));
            counts[i] = new int[] {i == low ? Math.round(n * 0.3f) : Math.min(n, x), n};
        }
        return counts;
    }
}
