package airway.registry.release;

import airway.registry.cohort.Stratum;
import airway.stats.disclosure.Inference;
import airway.stats.disclosure.Inference.Bounds;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.BiFunction;
import java.util.stream.IntStream;

/**
 * What several tables give away together. The encounters are cut into the smallest pieces that the definitions of the tables
 * can tell apart; all that was told is a sum over pieces. A new table is refused when, with it and not without it, some piece
 * that is not empty is known to have fewer encounters than may be told.
 *
 * <p>Tables that count the same outcome are held against each other, and those of two outcomes of which one lies within the other:
 * severe events are events. Others are not: of an encounter that one outcome counts another may know nothing, so the most that can
 * lie in a piece of both is the smaller of what each alone allows.
 *
 * <p>A piece that no encounter lies in, but could, counts as unknown to the reader. Records that came or changed since an
 * earlier table was told must not show by a difference either.
 */
final class Differencing {
    /** With more pieces than this the question is not answered, and the table is refused. */
    private static final int MOST_PIECES = 1_500;

    private static final int MOST_COMBINATIONS = 200_000;

    private final int threshold;
    private final List<CountTable> tables;
    private final List<int[]> pieces = new ArrayList<>();
    private final long[] counts;

    private Differencing(int threshold, List<CountTable> tables, List<FactRow> rows) {
        this.threshold = threshold;
        this.tables = tables;
        Map<List<Integer>, Integer> numbers = new LinkedHashMap<>();
        for (int[] cells : combinations()) {
            if (Arrays.stream(cells).anyMatch(cell -> cell >= 0) && pieces.size() <= MOST_PIECES) {
                numbers.computeIfAbsent(Arrays.stream(cells).boxed().toList(), none -> {
                    pieces.add(cells);
                    return pieces.size() - 1;
                });
            }
        }
        counts = new long[pieces.size()];
        for (FactRow row : pieces.size() > MOST_PIECES ? List.<FactRow>of() : rows) {
            Integer piece =
                    numbers.get(tables.stream().map(table -> cell(table, row)).toList());
            if (piece != null) {
                counts[piece] += row.count();
            }
        }
    }

    /**
     * The earlier table with which a new one gives something away.
     *
     * @param fresh the new table
     * @param earlier tables of the unit that were told before
     * @param rows encounters by all that these tables ask about
     * @return empty where there is none
     */
    static Optional<ToldTable> givenAwayWith(CountTable fresh, List<ToldTable> earlier, List<FactRow> rows) {
        Counting asked = fresh.spec().counting();
        Set<Counting> nested = new LinkedHashSet<>(List.of(asked));
        earlier.stream()
                .map(told -> told.table().spec().counting())
                .filter(asked::nests)
                .forEach(nested::add);
        for (Counting other : nested) {
            List<ToldTable> alike = earlier.stream()
                    .filter(told ->
                            List.of(asked, other).contains(told.table().spec().counting()))
                    .toList();
            Optional<ToldTable> found = givenAwayToAnybody(fresh, alike, rows);
            if (found.isPresent()) {
                return found;
            }
        }
        return Optional.empty();
    }

    private static Optional<ToldTable> givenAwayToAnybody(CountTable fresh, List<ToldTable> alike, List<FactRow> rows) {
        // Who is inside may have seen what was told outside as well.
        Optional<ToldTable> found = givenAwayWith(fresh, alike, rows, Audience.INSIDE.threshold());
        return found.isPresent() || fresh.audience() == Audience.INSIDE
                ? found
                : givenAwayWith(
                        fresh,
                        alike.stream()
                                .filter(told -> told.table().audience() == Audience.OUTSIDE)
                                .toList(),
                        rows,
                        Audience.OUTSIDE.threshold());
    }

    private static Optional<ToldTable> givenAwayWith(
            CountTable fresh, List<ToldTable> earlier, List<FactRow> rows, int threshold) {
        Set<Set<Stratum>> done = new LinkedHashSet<>();
        for (ToldTable told : earlier) {
            Set<Stratum> asked = new TreeSet<>(fresh.spec().strata());
            asked.addAll(told.table().spec().strata());
            if (!told.table().spec().overlaps(fresh.spec()) || !done.add(asked)) {
                continue;
            }
            // All that ask about nothing more are held together: three quarters and their year are four tables.
            List<ToldTable> kin = earlier.stream()
                    .filter(other -> asked.containsAll(other.table().spec().strata()))
                    .toList();
            List<CountTable> tables =
                    new ArrayList<>(kin.stream().map(ToldTable::table).toList());
            tables.add(fresh);
            if (new Differencing(threshold, tables, rows).givesAway()) {
                return Optional.of(told);
            }
        }
        return Optional.empty();
    }

    private boolean givesAway() {
        if (pieces.size() > MOST_PIECES) {
            return true;
        }
        List<Integer> small = new ArrayList<>();
        for (int piece = 0; piece < counts.length; piece++) {
            if (counts[piece] >= 1 && counts[piece] < threshold) {
                small.add(piece);
            }
        }
        List<CountTable> before = tables.subList(0, tables.size() - 1);
        try {
            List<Integer> known = inference(tables).knownSmall(small, threshold);
            return inference(before).knownSmall(known, threshold).size() < known.size() || showsWhatCameSince(before);
        } catch (IllegalStateException e) {
            // Too many steps: what could not be ruled out is refused, and a report can still be opened.
            return true;
        }
    }

    /** All that is known from some tables: each is told as the records stand now. */
    private Inference inference(List<CountTable> known) {
        Inference inference = new Inference(counts.length);
        for (CountTable table : known) {
            for (Told told : told(table)) {
                if (told.was() >= 0) {
                    inference.sum(told.pieces(), sum(told.pieces()));
                } else if (sum(told.pieces()) > 0) {
                    inference.atLeast(told.pieces(), 1);
                }
            }
        }
        return inference;
    }

    /**
     * A number of a table.
     *
     * @param pieces the pieces that it is the sum of
     * @param was as it was told; -1 where it was hidden
     */
    private record Told(List<Integer> pieces, long was) {}

    private List<Told> told(CountTable table) {
        int at = tables.indexOf(table);
        List<Told> told = new ArrayList<>();
        int lines = table.lines().size();
        for (int line = 0; line < lines; line++) {
            CountTable.Line one = table.lines().get(line);
            Long n = one.n();
            Long x = one.x();
            if (n != null) {
                told.add(new Told(pieces(at, 2 * line, 2 * line + 1), n));
                told.add(new Told(pieces(at, 2 * line, 2 * line), x == null ? -1 : x));
                told.add(new Told(pieces(at, 2 * line + 1, 2 * line + 1), x == null ? -1 : n - x));
            }
        }
        Long x = table.x();
        told.add(new Told(pieces(at, 0, 2 * lines - 1), table.n()));
        if (x != null) {
            told.add(new Told(
                    pieces(at, 0, 2 * lines - 1).stream()
                            .filter(piece -> pieces.get(piece)[at] % 2 == 0)
                            .toList(),
                    x));
        }
        // Codes that have no line are known to have no case.
        told.add(new Told(pieces(at, 2 * lines, 2 * lines + 1), 0));
        return told.stream().filter(one -> !one.pieces().isEmpty()).toList();
    }

    private List<Integer> pieces(int table, int first, int last) {
        List<Integer> found = new ArrayList<>();
        for (int piece = 0; piece < pieces.size(); piece++) {
            int cell = pieces.get(piece)[table];
            if (cell >= first && cell <= last) {
                found.add(piece);
            }
        }
        return found;
    }

    private long sum(List<Integer> which) {
        return which.stream().mapToLong(piece -> counts[piece]).sum();
    }

    /** Whether the new table, beside a number of an earlier one, shows that a few records came or changed since. */
    private boolean showsWhatCameSince(List<CountTable> before) {
        CountTable fresh = tables.get(tables.size() - 1);
        int at = tables.size() - 1;
        Inference now = inference(List.of(fresh));
        return before.stream()
                .flatMap(table -> told(table).stream())
                .filter(told -> told.was() >= 0 && told.was() != sum(told.pieces()))
                .filter(told -> told.pieces().stream().allMatch(piece -> pieces.get(piece)[at] >= 0))
                .anyMatch(told -> {
                    Bounds bounds = now.bounds(told.pieces());
                    return bounds.upper() - told.was() < threshold && told.was() - bounds.lower() < threshold;
                });
    }

    /**
     * The cell of a table in which encounters like these are counted: twice the number of the line, one more without the
     * outcome; -1 for none. What has no line lies in one after the last.
     */
    private static int cell(CountTable table, FactRow row) {
        TableSpec spec = table.spec();
        if (!spec.has(row)) {
            return -1;
        }
        String code = spec.line(row);
        int line = 0;
        while (line < table.lines().size() && !table.lines().get(line).codes().contains(code)) {
            line++;
        }
        return 2 * line + 1 - row.answer(spec.counting());
    }

    /** The cells of all combinations of months, codes and answers that some table tells apart. */
    private List<int[]> combinations() {
        YearMonth from = tables.stream()
                .map(table -> table.spec().from())
                .min(YearMonth::compareTo)
                .orElseThrow();
        YearMonth to = tables.stream()
                .map(table -> table.spec().to())
                .max(YearMonth::compareTo)
                .orElseThrow();
        List<YearMonth> months = new ArrayList<>();
        for (YearMonth month = from; !month.isAfter(to); month = month.plusMonths(1)) {
            months.add(month);
        }
        List<YearMonth> spans = apart(months, (table, month) -> {
            TableSpec spec = table.spec();
            return month.isBefore(spec.from()) || month.isAfter(spec.to())
                    ? ""
                    : spec.lines().stratum() == null
                            ? spec.lines().code(month, new FactRow(month, Map.of(), Map.of(), 0))
                            : "in";
        });
        Map<Stratum, List<String>> codes = new TreeMap<>();
        for (CountTable table : tables) {
            for (Stratum stratum : table.spec().strata()) {
                codes.computeIfAbsent(
                        stratum,
                        none -> apart(
                                stratum.codes().stream()
                                        .map(code -> code.value())
                                        .toList(),
                                (other, code) -> place(other, stratum, code)));
            }
        }
        List<Map<Counting, Integer>> answers = answers();
        double number = (double) answers.size() * spans.size();
        for (List<String> some : codes.values()) {
            number *= some.size();
        }
        List<FactRow> rows = new ArrayList<>();
        if (number > MOST_COMBINATIONS) {
            // More than can be looked at: as many pieces as make the question unanswered.
            return IntStream.rangeClosed(0, MOST_PIECES + 1)
                    .mapToObj(i -> new int[] {i})
                    .toList();
        }
        for (YearMonth span : spans) {
            rows.add(new FactRow(span, Map.of(), Map.of(), 0));
        }
        for (Map.Entry<Stratum, List<String>> variable : codes.entrySet()) {
            rows = rows.stream()
                    .flatMap(row -> variable.getValue().stream().map(code -> {
                        Map<Stratum, String> more = new TreeMap<>(row.codes());
                        more.put(variable.getKey(), code);
                        return new FactRow(row.month(), more, Map.of(), 0);
                    }))
                    .toList();
        }
        return rows.stream()
                .flatMap(row -> answers.stream().map(some -> new FactRow(row.month(), row.codes(), some, 0)))
                .map(row -> tables.stream().mapToInt(table -> cell(table, row)).toArray())
                .toList();
    }

    /** With, without, and not counted: all that the outcomes of the tables, one or two, may be together. */
    private List<Map<Counting, Integer>> answers() {
        List<Counting> countings =
                tables.stream().map(table -> table.spec().counting()).distinct().toList();
        Counting one = countings.get(0);
        Counting other = countings.get(countings.size() - 1);
        if (one.equals(other)) {
            return List.of(Map.of(one, 0), Map.of(one, 1));
        }
        List<Map<Counting, Integer>> answers = new ArrayList<>();
        for (int ofOne = -1; ofOne <= 1; ofOne++) {
            for (int ofOther = -1; ofOther <= 1; ofOther++) {
                boolean never = (one.within(other) && ofOne == 1 && ofOther != 1)
                        || (other.within(one) && ofOther == 1 && ofOne != 1);
                if (!never) {
                    answers.add(Map.of(one, ofOne, other, ofOther));
                }
            }
        }
        return answers;
    }

    /** One of each of the values that some table tells apart. */
    private <T> List<T> apart(List<T> values, BiFunction<CountTable, T, String> place) {
        Map<List<String>, T> first = new LinkedHashMap<>();
        for (T value : values) {
            first.putIfAbsent(
                    tables.stream().map(table -> place.apply(table, value)).toList(), value);
        }
        return List.copyOf(first.values());
    }

    private static String place(CountTable table, Stratum stratum, String code) {
        TableSpec spec = table.spec();
        Set<String> wanted = spec.filters().get(stratum);
        if (wanted != null && !wanted.contains(code)) {
            return "";
        }
        if (!Objects.equals(spec.lines().stratum(), stratum)) {
            return "in";
        }
        return table.lines().stream()
                .filter(line -> line.codes().contains(code))
                .findFirst()
                .map(line -> line.codes().get(0))
                .orElse("without a line");
    }
}
