package airway.registry.encounter;

import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Code;
import java.time.YearMonth;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * Which records are listed.
 *
 * @param cohort unit, period, variables and set-ups
 * @param attempts tracheal attempts, or null for any number
 * @param firstPass answer of first-pass success, or null for any
 * @param warning what asks for another look, or null for all records
 * @param leftOut a measure that leaves the records out, or null for any
 * @param withdrawn the withdrawn ones instead of those that count
 */
record RecordFilter(
        Cohort cohort,
        @Nullable Attempts attempts,
        @Nullable FirstPass firstPass,
        @Nullable Warning warning,
        @Nullable Measure leftOut,
        boolean withdrawn) {
    private static final DateTimeFormatter MONTH = DateTimeFormatter.ofPattern("MMM yyyy", Locale.ENGLISH);

    /** A value of a filter that the list has besides those of the cohort. */
    interface Choice {
        String code();

        String words();

        /** The one of a code. */
        static <C extends Choice> Optional<C> of(String code, C[] choices) {
            return Arrays.stream(choices).filter(one -> one.code().equals(code)).findFirst();
        }

        static List<Code> codes(Choice[] choices) {
            return Arrays.stream(choices)
                    .map(one -> new Code(one.code(), one.words()))
                    .toList();
        }
    }

    /** A number of tracheal attempts, as it is asked for. */
    enum Attempts implements Choice {
        NONE("0", "no attempt", 0, 0),
        ONE("1", "1 attempt", 1, 1),
        TWO("2", "2 attempts", 2, 2),
        TWO_OR_MORE("2_or_more", "2 or more attempts", 2, null),
        THREE_OR_MORE("3_or_more", "3 or more attempts", 3, null),
        NOT_KNOWN("unknown", "a number of attempts not known", null, null);

        private final String code;
        private final String words;
        private final @Nullable Integer least;
        private final @Nullable Integer most;

        Attempts(String code, String words, @Nullable Integer least, @Nullable Integer most) {
            this.code = code;
            this.words = words;
            this.least = least;
            this.most = most;
        }

        @Nullable
        Integer least() {
            return least;
        }

        @Nullable
        Integer most() {
            return most;
        }

        @Override
        public String code() {
            return code;
        }

        @Override
        public String words() {
            return words;
        }
    }

    /** First-pass success of a record; excluded is neither yes nor no. */
    enum FirstPass implements Choice {
        YES("first pass"),
        NO("no first pass"),
        EXCLUDED("left out of first pass");

        private final String words;

        FirstPass(String words) {
            this.words = words;
        }

        @Override
        public String code() {
            return name().toLowerCase(Locale.ROOT);
        }

        @Override
        public String words() {
            return words;
        }
    }

    /** What asks for another look at a record. */
    enum Warning implements Choice {
        OPEN("open questions"),
        CONFIRMED("answers asked about and confirmed"),
        ANY("open questions or answers asked about and confirmed");

        private final String words;

        Warning(String words) {
            this.words = words;
        }

        @Override
        public String code() {
            return name().toLowerCase(Locale.ROOT);
        }

        @Override
        public String words() {
            return words;
        }
    }

    /**
     * One filter that is in force.
     *
     * @param names of its parameters
     * @param words for a sentence
     */
    record Part(Set<String> names, String words) {}

    /** The filters in force, in the order of the sentence. */
    List<Part> parts() {
        List<Part> parts = new ArrayList<>();
        if (cohort.from() != null || cohort.to() != null) {
            parts.add(new Part(Set.of("from", "to"), period(cohort.from(), cohort.to())));
        }
        if (attempts != null) {
            parts.add(new Part(Set.of("tracheal_attempts"), "with " + attempts.words));
        }
        if (firstPass != null) {
            parts.add(new Part(Set.of("fps"), firstPass.words));
        }
        cohort.filters()
                .forEach((stratum, codes) -> parts.add(new Part(Set.of(stratum.variable()), words(stratum, codes))));
        if (!cohort.setups().isEmpty()) {
            parts.add(new Part(
                    Set.of("device_setup_id"),
                    cohort.setups().size() == 1 ? "the set-up chosen" : "the set-ups chosen"));
        }
        if (warning != null) {
            parts.add(new Part(Set.of("warnings"), "with " + warning.words));
        }
        if (leftOut != null) {
            parts.add(new Part(Set.of("left_out"), "left out of: " + InWords.lower(leftOut.title())));
        }
        return parts;
    }

    private static String words(Stratum stratum, Set<String> codes) {
        String labels = codes.equals(Set.copyOf(RecordListForm.BELOW_A_YEAR))
                ? RecordListForm.UNDER_A_YEAR.label()
                : codes.stream().map(code -> InWords.lower(stratum.label(code))).collect(Collectors.joining(" or "));
        return stratum == Stratum.AGE_BAND ? "at age " + labels : InWords.lower(stratum.title()) + ": " + labels;
    }

    private static String period(@Nullable YearMonth from, @Nullable YearMonth to) {
        if (from == null) {
            return "up to " + (to == null ? "now" : MONTH.format(to));
        } else if (to == null) {
            return "since " + MONTH.format(from);
        }
        return from.equals(to) ? "in " + MONTH.format(from) : "from " + MONTH.format(from) + " to " + MONTH.format(to);
    }

    /** The same with one filter taken away. */
    RecordFilter without(Part part) {
        boolean anyTime = part.names().contains("from");
        Map<Stratum, Set<String>> filters = new TreeMap<>(cohort.filters());
        filters.keySet().removeIf(stratum -> part.names().contains(stratum.variable()));
        return new RecordFilter(
                new Cohort(
                        cohort.sites(),
                        anyTime ? null : cohort.from(),
                        anyTime ? null : cohort.to(),
                        filters,
                        part.names().contains("device_setup_id") ? Set.of() : cohort.setups()),
                part.names().contains("tracheal_attempts") ? null : attempts,
                part.names().contains("fps") ? null : firstPass,
                part.names().contains("warnings") ? null : warning,
                part.names().contains("left_out") ? null : leftOut,
                withdrawn);
    }
}
