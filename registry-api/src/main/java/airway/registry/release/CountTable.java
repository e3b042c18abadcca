package airway.registry.release;

import airway.registry.problem.Problem;
import airway.stats.Answer;
import airway.stats.disclosure.SmallCells;
import airway.stats.disclosure.SmallCells.Hidden;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * A table as it may be told: the cases of each line, those with the outcome, and the totals.
 *
 * @param n cases in all
 * @param x cases with the outcome in all; null where that is hidden, and the cases of each line with it
 */
record CountTable(
        TableSpec spec,
        Audience audience,
        List<Line> lines,
        long n,
        @Nullable Long x) {

    /**
     * One line.
     *
     * @param codes what it stands for; several where each alone has too few cases
     * @param n cases; null where only the total of all is told
     * @param x cases with the outcome; null where hidden, and then those without are hidden too
     */
    record Line(
            List<String> codes, @Nullable Long n, @Nullable Long x) {
        Line {
            codes = List.copyOf(codes);
        }
    }

    /** More lines than this are not read. */
    static final int MOST_LINES = 30;

    private record Counted(List<String> codes, long n, long x) {
        Counted with(Counted other) {
            List<String> all = new ArrayList<>(codes);
            all.addAll(other.codes);
            return new Counted(all, n + other.n, x + other.x);
        }
    }

    /**
     * Counts, puts lines of few cases together and hides what is small.
     *
     * @throws Problem.TooSmall if there are fewer cases than may be told
     */
    static CountTable of(TableSpec spec, Audience audience, List<FactRow> rows) {
        Map<String, Counted> counts = new LinkedHashMap<>();
        for (String code : spec.lines().codes(spec.from(), spec.to())) {
            counts.put(code, new Counted(List.of(code), 0, 0));
        }
        for (FactRow row : rows) {
            if (spec.has(row)) {
                counts.computeIfPresent(
                        spec.line(row),
                        (code, so) -> new Counted(
                                so.codes, so.n + row.count(), so.x + row.count() * row.answer(spec.counting())));
            }
        }
        List<Counted> lines =
                together(counts.values().stream().filter(line -> line.n > 0).toList(), audience.threshold());
        if (lines.size() > MOST_LINES) {
            throw new Problem.TooSmall("The table would have " + lines.size() + " lines; at most " + MOST_LINES
                    + " are told. Choose longer" + " spans or a shorter period.");
        }
        long n = lines.stream().mapToLong(Counted::n).sum();
        Hidden hidden =
                lines.isEmpty() ? null : hidden(lines, audience).toOptional().orElse(null);
        if (hidden == null) {
            throw new Problem.TooSmall("There are fewer than " + audience.threshold()
                    + " cases in all, and so few are not told. Choose a longer period or fewer filters.");
        }
        List<Line> told = new ArrayList<>();
        for (int i = 0; i < lines.size(); i++) {
            Counted line = lines.get(i);
            told.add(new Line(
                    line.codes, hidden.totalOnly() ? null : (Long) line.n, hidden.has(i, 0) ? null : (Long) line.x));
        }
        boolean outcomeHidden = hidden.totalOnly() || (lines.size() == 1 && hidden.has(0, 0));
        return new CountTable(
                spec,
                audience,
                told,
                n,
                outcomeHidden
                        ? null
                        : (Long) lines.stream().mapToLong(Counted::x).sum());
    }

    /** A single line has no total but its own; two cells hide each other in no way, so both are hidden or none. */
    private static Answer<Hidden> hidden(List<Counted> lines, Audience audience) {
        return new SmallCells(audience.threshold(), audience == Audience.OUTSIDE)
                .in(lines.stream().map(line -> List.of(line.x, line.n - line.x)).toList());
    }

    /** Lines of fewer cases than may be told become one; if that has too few, the next smallest line joins it. */
    private static List<Counted> together(List<Counted> lines, int threshold) {
        List<Counted> left = new ArrayList<>(lines);
        List<Counted> small = new ArrayList<>(
                lines.stream().filter(line -> line.n < threshold).toList());
        left.removeAll(small);
        while (!small.isEmpty() && small.stream().mapToLong(Counted::n).sum() < threshold && !left.isEmpty()) {
            Counted next =
                    left.stream().min(Comparator.comparingLong(Counted::n)).orElseThrow();
            left.remove(next);
            small.add(next);
        }
        small.stream().reduce(Counted::with).ifPresent(left::add);
        return left;
    }

    boolean hidesSomething() {
        return lines.stream().anyMatch(line -> line.x == null);
    }

    String label(Line line) {
        return String.join(", ", line.codes().stream().map(spec.lines()::label).toList());
    }
}
