package airway.registry.kit;

import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * What the standard says about one application identifier, or a run of them: how long its value is, of which characters, what
 * it needs beside it and what it cannot stand with.
 *
 * @param fixed whether the next element follows without a separator
 * @param needs for each of these, one alternative must stand on the item; an alternative is an identifier, several joined by
 *     {@code +}, or a pattern with {@code n} for any digit
 * @param excludes identifiers or patterns that contradict it
 */
record Identifier(
        String first, String last, boolean fixed, List<Part> parts, List<List<String>> needs, List<String> excludes) {

    /** What a part of a value is looked through for. */
    enum Check {
        NOTHING,
        /** The last digit is the check digit over all. */
        CHECK_DIGIT,
        /** YYMMDD, a day of the calendar. */
        DAY,
        /** YYMMDD, where the day may be 00. */
        DAY_OR_MONTH
    }

    /**
     * A part of a value.
     *
     * @param set {@code n} digits, {@code x}, {@code y} and {@code z} the sets of 82, 39 and 64 characters
     */
    record Part(char set, int least, int most, boolean optional, Check check) {
        private static final Pattern FORM = Pattern.compile("(\\[?)([nxyz])(\\.\\.)?(\\d+)([cdz]?)]?");
        private static final Map<String, Check> CHECKS =
                Map.of("", Check.NOTHING, "c", Check.CHECK_DIGIT, "d", Check.DAY, "z", Check.DAY_OR_MONTH);
        private static final String SIGNS_82 = "!\"%&'()*+,-./:;<=>?_";
        private static final String SIGNS_39 = "#-/";
        private static final String SIGNS_64 = "-_=";

        static Part of(String form) {
            Matcher part = FORM.matcher(form);
            if (!part.matches()) {
                throw new IllegalArgumentException("no part of a value: " + form);
            }
            int most = Integer.parseInt(part.group(4));
            return new Part(
                    part.group(2).charAt(0),
                    part.group(3) == null ? most : 1,
                    most,
                    !part.group(1).isEmpty(),
                    CHECKS.getOrDefault(part.group(5), Check.NOTHING));
        }

        boolean takes(char c) {
            boolean digit = c >= '0' && c <= '9';
            boolean capital = c >= 'A' && c <= 'Z';
            boolean letter = capital || (c >= 'a' && c <= 'z');
            return switch (set) {
                case 'n' -> digit;
                case 'y' -> digit || capital || SIGNS_39.indexOf(c) >= 0;
                case 'z' -> digit || letter || SIGNS_64.indexOf(c) >= 0;
                default -> digit || letter || SIGNS_82.indexOf(c) >= 0;
            };
        }
    }

    /** Reads a row of the table. */
    static Identifier of(String first, String last, String ends, String parts, String needs, String excludes) {
        return new Identifier(
                first,
                last,
                ends.equals("fixed"),
                words(parts).stream().map(Part::of).toList(),
                words(needs).stream().map(need -> List.of(need.split("/", -1))).toList(),
                words(excludes));
    }

    private static List<String> words(String text) {
        return text.isEmpty() ? List.of() : Arrays.asList(text.split(" ", -1));
    }

    int shortest() {
        return parts.stream()
                .filter(part -> !part.optional())
                .mapToInt(Part::least)
                .sum();
    }

    int longest() {
        return parts.stream().mapToInt(Part::most).sum();
    }
}
