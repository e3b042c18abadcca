package airway.registry.kit;

import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * What a scanner sent, or somebody typed from a label, read as element strings of the GS1 General Specifications. Nothing of it
 * counts unless all of it can be read.
 *
 * @param elements in the order of the symbols; none unless the result is {@link Result#OK}
 */
record Scan(Result result, Set<Warning> warnings, List<Element> elements) {
    /** The separator, ASCII 29; scanners that show it write one of the others. */
    static final char SEPARATOR = '\u001d';

    private static final String SHOWN_SEPARATORS = "\\{GS}|\u241d";
    private static final String BETWEEN_SYMBOLS = "\\{NEXT}|[\\r\\n]+";
    private static final Pattern ELEMENT_STRING = Pattern.compile("](?:C1|d2|Q3|J1|e[0-2])(.*)", Pattern.DOTALL);
    private static final Pattern RETAIL = Pattern.compile("]E([04])(.*)", Pattern.DOTALL);
    private static final Pattern BRACKETED = Pattern.compile("\\((\\d{2,4})\\)");

    private static final String LOT = "10";
    private static final String MADE = "11";
    private static final String USE_BY = "17";
    private static final String SERIAL = "21";
    private static final Set<String> MONTH_IS_ENOUGH = Set.of(MADE, "13");
    private static final Pattern SWALLOWED = Pattern.compile(".+1[17](\\d{6})", Pattern.DOTALL);
    private static final int GTIN = 14;

    /** How the reading ended. */
    enum Result {
        OK("It can be read."),
        EMPTY("Nothing was scanned. Scan the label, or type what stands on it."),
        NOT_GS1("This is a symbol of another kind; it is not read here. Type the item."),
        UNKNOWN_AI("A part of it begins with digits that name nothing. Scan it once more, or type the item."),
        BAD_LENGTH("A part of it is too short or too long. Scan it once more; if it stays so, look at the scanner's"
                + " separator."),
        BAD_CHAR("A part of it has a character that cannot stand there. Scan it once more; if it stays so, look at the"
                + " scanner's keyboard."),
        BAD_CHECK_DIGIT("A number in it is misread: its check digit does not fit. Scan it once more."),
        BAD_DATE("A date in it is no day of the calendar. Scan it once more, or type the item."),
        CONFLICT("Two parts of it contradict each other: these are labels of two items. Scan one item at a time."),
        NO_KEY("It does not say which item it is. Scan the other symbol of the label as well.");

        private final String words;

        Result(String words) {
            this.words = words;
        }

        String words() {
            return words;
        }
    }

    /** What to look at although it can be read. */
    enum Warning {
        W_EXPIRED("The use-by day is over: do not use it; follow local policy."),
        W_DAY_ZERO("A date has no day. A use-by date then means the last day of its month."),
        W_PROD_IN_FUTURE("It was made after today, so it says."),
        W_SEPARATOR_SUSPECT("The lot or serial number ends like a date. The scanner may drop separators: try it.");

        private final String words;

        Warning(String words) {
            this.words = words;
        }

        String words() {
            return words;
        }
    }

    /**
     * One element.
     *
     * @param ai its application identifier
     * @param value as scanned; a retail number is filled up to 14 digits
     * @param date the day it names, or the month where no day is given and none is meant; null if it names none
     */
    record Element(String ai, String value, @Nullable String date) {}

    /** Why it cannot be read. */
    private static final class Unreadable extends Exception {
        private final Result result;

        Unreadable(Result result) {
            super(result.name());
            this.result = result;
        }
    }

    /**
     * Reads a scan.
     *
     * @param data one symbol, or several of the same item with line ends between them
     * @param today decides the century of a date, and what is expired
     */
    static Scan read(String data, LocalDate today) {
        String sent = data.replaceAll(SHOWN_SEPARATORS, String.valueOf(SEPARATOR));
        Set<Warning> warnings = EnumSet.noneOf(Warning.class);
        Map<String, Element> elements = new LinkedHashMap<>();
        try {
            if (sent.isBlank()) {
                throw new Unreadable(Result.EMPTY);
            }
            List<Element> raw = new ArrayList<>();
            for (String symbol : sent.split(BETWEEN_SYMBOLS, -1)) {
                if (!symbol.isBlank()) {
                    List<Element> split = split(symbol);
                    raw.addAll(split);
                    if (separatorIsSuspect(split, today)) {
                        warnings.add(Warning.W_SEPARATOR_SUSPECT);
                    }
                }
            }
            for (Element element : raw) {
                Element checked = checked(element, today, warnings);
                Element known = elements.putIfAbsent(checked.ai, checked);
                if ((known != null && !known.value.equals(checked.value))
                        || contradicts(checked.ai, elements.keySet())) {
                    throw new Unreadable(Result.CONFLICT);
                }
            }
            for (String ai : elements.keySet()) {
                if (!hasItsNeeds(ai, elements.keySet())) {
                    throw new Unreadable(Result.NO_KEY);
                }
            }
        } catch (Unreadable e) {
            return new Scan(e.result, Set.of(), List.of());
        }
        return new Scan(Result.OK, warnings, List.copyOf(elements.values()));
    }

    private static List<Element> split(String symbol) throws Unreadable {
        Matcher retail = RETAIL.matcher(symbol);
        if (retail.matches()) {
            String digits = retail.group(2);
            if (digits.length() != (retail.group(1).equals("0") ? 13 : 8)) {
                throw new Unreadable(Result.BAD_LENGTH);
            }
            return List.of(new Element("01", "0".repeat(GTIN - digits.length()) + digits, null));
        }
        Matcher marked = ELEMENT_STRING.matcher(symbol);
        if (marked.matches()) {
            return elements(marked.group(1));
        }
        char first = symbol.charAt(0);
        if (first == '(') {
            return bracketed(symbol);
        }
        if (first == SEPARATOR || (first >= '0' && first <= '9')) {
            return elements(symbol);
        }
        throw new Unreadable(Result.NOT_GS1);
    }

    private static List<Element> elements(String sent) throws Unreadable {
        List<Element> found = new ArrayList<>();
        int place = sent.startsWith(String.valueOf(SEPARATOR)) ? 1 : 0;
        if (place == sent.length()) {
            throw new Unreadable(Result.EMPTY);
        }
        while (place < sent.length()) {
            String ai = Identifiers.at(sent, place).orElseThrow(() -> new Unreadable(Result.UNKNOWN_AI));
            Identifier identifier = Identifiers.named(ai).orElseThrow();
            place += ai.length();
            int separator = sent.indexOf(SEPARATOR, place);
            int end = separator < 0 ? sent.length() : separator;
            if (identifier.fixed()) {
                end = Math.min(end, place + identifier.longest());
            }
            found.add(ofLength(ai, identifier, sent.substring(place, end)));
            place = end < sent.length() && sent.charAt(end) == SEPARATOR ? end + 1 : end;
        }
        return found;
    }

    /** As it is printed for people; a bracket that holds no identifier belongs to the value. */
    private static List<Element> bracketed(String text) throws Unreadable {
        List<Element> found = new ArrayList<>();
        Matcher next = BRACKETED.matcher(text);
        int place = 0;
        while (place < text.length()) {
            next.region(place, text.length());
            String ai = next.lookingAt() ? next.group(1) : "";
            Identifier identifier = Identifiers.named(ai).orElseThrow(() -> new Unreadable(Result.UNKNOWN_AI));
            place = next.end();
            int end = text.length();
            next.region(place, text.length());
            while (next.find()) {
                if (Identifiers.named(next.group(1)).isPresent()) {
                    end = next.start();
                    break;
                }
            }
            found.add(ofLength(ai, identifier, text.substring(place, end)));
            place = end;
        }
        return found;
    }

    private static Element ofLength(String ai, Identifier identifier, String value) throws Unreadable {
        if (value.length() < identifier.shortest() || value.length() > identifier.longest()) {
            throw new Unreadable(Result.BAD_LENGTH);
        }
        return new Element(ai, value, null);
    }

    private static Element checked(Element element, LocalDate today, Set<Warning> warnings) throws Unreadable {
        List<Identifier.Part> parts =
                Identifiers.named(element.ai).orElseThrow().parts();
        int place = 0;
        for (Identifier.Part part : parts) {
            int end = Math.min(element.value.length(), place + part.most());
            for (int i = place; i < end; i++) {
                if (!part.takes(element.value.charAt(i))) {
                    throw new Unreadable(Result.BAD_CHAR);
                }
            }
            if (end > place && end - place < part.least()) {
                throw new Unreadable(Result.BAD_LENGTH);
            }
            place = end;
        }
        String date = null;
        place = 0;
        for (Identifier.Part part : parts) {
            int end = Math.min(element.value.length(), place + part.most());
            String text = element.value.substring(place, end);
            if (part.check() == Identifier.Check.CHECK_DIGIT && !checkDigitFits(text)) {
                throw new Unreadable(Result.BAD_CHECK_DIGIT);
            }
            if (!text.isEmpty()
                    && (part.check() == Identifier.Check.DAY || part.check() == Identifier.Check.DAY_OR_MONTH)) {
                String named = date(element.ai, text, part.check() == Identifier.Check.DAY_OR_MONTH, today, warnings);
                date = date == null ? named : date;
            }
            place = end;
        }
        return new Element(element.ai, element.value, date);
    }

    /** From the right without the check digit, weights 3, 1, 3, 1 (GS1 General Specifications, section 7.9). */
    private static boolean checkDigitFits(String digits) {
        int sum = 0;
        for (int i = digits.length() - 2, weight = 3; i >= 0; i--, weight = 4 - weight) {
            sum += weight * (digits.charAt(i) - '0');
        }
        return (10 - sum % 10) % 10 == digits.charAt(digits.length() - 1) - '0';
    }

    private static String date(String ai, String text, boolean dayMayBeZero, LocalDate today, Set<Warning> warnings)
            throws Unreadable {
        boolean monthAlone = text.endsWith("00") && dayMayBeZero;
        YearMonth month;
        LocalDate day;
        try {
            month = YearMonth.of(
                    year(Integer.parseInt(text.substring(0, 2)), today), Integer.parseInt(text.substring(2, 4)));
            day = monthAlone ? month.atEndOfMonth() : month.atDay(Integer.parseInt(text.substring(4)));
        } catch (DateTimeException e) {
            throw new Unreadable(Result.BAD_DATE);
        }
        boolean ofTheMonth = monthAlone && MONTH_IS_ENOUGH.contains(ai);
        if (monthAlone) {
            warnings.add(Warning.W_DAY_ZERO);
        }
        if (ai.equals(USE_BY) && day.isBefore(today)) {
            warnings.add(Warning.W_EXPIRED);
        }
        if (ai.equals(MADE) && (ofTheMonth ? month.atDay(1) : day).isAfter(today)) {
            warnings.add(Warning.W_PROD_IN_FUTURE);
        }
        return ofTheMonth ? month.toString() : day.toString();
    }

    /** Two digits stand for a year from 49 back to 50 ahead (GS1 General Specifications, section 7.12). */
    private static int year(int digits, LocalDate today) {
        int now = today.getYear() % 100;
        int century = today.getYear() - now;
        int away = digits - now;
        return century + digits + (away >= 51 ? -100 : away <= -50 ? 100 : 0);
    }

    /** A scanner that drops separators lets the last lot or serial number swallow what follows it. */
    private static boolean separatorIsSuspect(List<Element> symbol, LocalDate today) {
        Element last = symbol.get(symbol.size() - 1);
        Matcher swallowed = SWALLOWED.matcher(last.value);
        if (!(last.ai.equals(LOT) || last.ai.equals(SERIAL)) || !swallowed.matches()) {
            return false;
        }
        try {
            date("", swallowed.group(1), true, today, EnumSet.noneOf(Warning.class));
            return true;
        } catch (Unreadable e) {
            return false;
        }
    }

    private static boolean contradicts(String ai, Set<String> item) {
        return item.stream().anyMatch(other -> !other.equals(ai) && (excludes(ai, other) || excludes(other, ai)));
    }

    private static boolean excludes(String ai, String other) {
        return Identifiers.named(ai).orElseThrow().excludes().stream().anyMatch(pattern -> fits(pattern, other));
    }

    private static boolean hasItsNeeds(String ai, Set<String> item) {
        return Identifiers.named(ai).orElseThrow().needs().stream()
                .allMatch(need -> need.stream()
                        .anyMatch(alternative -> Stream.of(alternative.split("\\+", -1))
                                .allMatch(pattern -> item.stream().anyMatch(other -> fits(pattern, other)))));
    }

    private static boolean fits(String pattern, String ai) {
        return ai.matches(pattern.replace("n", "\\d"));
    }
}
