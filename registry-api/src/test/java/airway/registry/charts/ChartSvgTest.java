package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Pictures compared with files that a person has looked at. A picture that changed is written to target/pictures, to be
 * looked at before it replaces the file.
 */
class ChartSvgTest {
    private static final Grouping MONTH = new Grouping(Grouping.Span.MONTH, 0);
    private static final ChartRequest REQUEST =
            new ChartRequest(Measure.FPS, null, MONTH, new Cohort(List.of(), null, null, Map.of(), Set.of()));

    @ParameterizedTest
    @CsvSource({"signals,DESKTOP", "signals,PHONE", "gaps,DESKTOP", "few,PHONE", "empty,DESKTOP"})
    void drawsTheSamePictureAsTheOneThatWasLookedAt(String name, ChartSvg.Size size) throws IOException {
        String file = name + "-" + size.name().toLowerCase(java.util.Locale.ROOT) + ".svg";
        String drawn = ChartSvg.draw(chart(name), size) + "\n";

        Path kept = Path.of("src/test/resources/airway/registry/charts", file);
        String expected = Files.exists(kept) ? Files.readString(kept, StandardCharsets.UTF_8) : "";
        if (!drawn.equals(expected)) {
            Path changed = Path.of("target/pictures", file);
            Files.createDirectories(changed.getParent());
            Files.writeString(changed, drawn);
        }
        assertThat(drawn).as("see target/pictures/" + file).isEqualTo(expected);
    }

    private static Chart chart(String name) {
        int[][] counts = switch (name) {
            case "signals" -> counts(38, 27, 8);
            case "gaps" -> counts(24, 12, -1);
            case "few" -> counts(6, 9, -1);
            default -> new int[0][];
        };
        List<Chart.Point> points = new ArrayList<>();
        YearMonth month = YearMonth.of(2023, 9);
        for (int i = 0; i < counts.length; i++, month = month.plusMonths(1)) {
            boolean gap = name.equals("gaps") && (i == 5 || i == 6);
            Counted counted = gap ? Counted.NOTHING : new Counted(counts[i][0], counts[i][1], i % 7 == 0 ? 1 : 0, 0, 0);
            points.add(Charts.point(MONTH.code(month), MONTH.words(month), counted, i < counts.length - 1));
        }
        return Charts.chart(REQUEST, points);
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
