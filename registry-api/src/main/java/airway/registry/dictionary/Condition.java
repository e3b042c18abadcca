package airway.registry.dictionary;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * When a question is asked, in the condition language of the dictionary.
 *
 * <pre>{@code
 * tube_passes > 0
 * device_mode in ['direct','video_standard']
 * not contains(kit_issue,'none')
 * any_missing(spo2_lowest)
 * }</pre>
 *
 * <p>A condition on an answer that is blank or not known is itself unknown: the question is then asked. Only
 * {@code != null} and {@code any_missing} look at whether there is an answer.
 */
public final class Condition {
    /** True, false, or not to be told from the answers there are. */
    public enum Truth {
        TRUE,
        FALSE,
        UNKNOWN;

        static Truth of(boolean value) {
            return value ? TRUE : FALSE;
        }

        Truth not() {
            return switch (this) {
                case TRUE -> FALSE;
                case FALSE -> TRUE;
                case UNKNOWN -> UNKNOWN;
            };
        }
    }

    /** The answers a condition may look at: those of its own object and of the objects that one points to. */
    public interface Answered {
        /** The answer: a String, a BigDecimal or a List of String; or empty when blank or not known. */
        java.util.Optional<Object> answer(String variable);

        /** Whether any attempt of the encounter lacks this answer. */
        boolean anyMissing(String variable);
    }

    /** Always true: the question is always asked. */
    public static final Condition ALWAYS = new Condition("", answers -> Truth.TRUE);

    private static final String NAME = "([a-z0-9_]+)";
    private static final Pattern CONTAINS = Pattern.compile("contains\\(" + NAME + ",\\s*'([^']*)'\\)");
    private static final Pattern ANY_MISSING = Pattern.compile("any_missing\\(" + NAME + "\\)");
    private static final Pattern PRESENT = Pattern.compile(NAME + "\\s*!=\\s*null");
    private static final Pattern IN = Pattern.compile(NAME + "\\s+(not\\s+)?in\\s+\\[(.*)]");
    private static final Pattern CODE = Pattern.compile(NAME + "\\s*(==|!=)\\s*'([^']*)'");
    private static final Pattern NUMBER = Pattern.compile(NAME + "\\s*(<=|>=|<|>)\\s*(-?[0-9.]+)");
    private static final Pattern QUOTED = Pattern.compile("'([^']*)'");

    private final String text;
    private final Function<Answered, Truth> test;

    private Condition(String text, Function<Answered, Truth> test) {
        this.text = text;
        this.test = test;
    }

    /**
     * Reads a condition.
     *
     * @throws IllegalArgumentException if it is not of the condition language
     */
    public static Condition parse(String text) {
        String expression = text.strip();
        if (expression.startsWith("not ")) {
            Condition inner = parse(expression.substring(4));
            return new Condition(text, answers -> inner.test(answers).not());
        }
        Matcher m = CONTAINS.matcher(expression);
        if (m.matches()) {
            String name = m.group(1);
            String code = m.group(2);
            return about(text, name, value -> value instanceof List<?> list && list.contains(code));
        }
        m = ANY_MISSING.matcher(expression);
        if (m.matches()) {
            String name = m.group(1);
            return new Condition(text, answers -> Truth.of(answers.anyMissing(name)));
        }
        m = PRESENT.matcher(expression);
        if (m.matches()) {
            String name = m.group(1);
            return new Condition(text, answers -> Truth.of(answers.answer(name).isPresent()));
        }
        m = IN.matcher(expression);
        if (m.matches()) {
            List<String> codes = quoted(m.group(3));
            boolean negated = m.group(2) != null;
            return about(text, m.group(1), value -> codes.contains(value.toString()) != negated);
        }
        m = CODE.matcher(expression);
        if (m.matches()) {
            String code = m.group(3);
            boolean negated = m.group(2).equals("!=");
            return about(text, m.group(1), value -> value.toString().equals(code) != negated);
        }
        m = NUMBER.matcher(expression);
        if (m.matches()) {
            String operator = m.group(2);
            BigDecimal bound = new BigDecimal(m.group(3));
            return about(
                    text, m.group(1), value -> value instanceof BigDecimal number && compare(number, operator, bound));
        }
        throw new IllegalArgumentException("condition not understood: " + text);
    }

    private static Condition about(String text, String name, Function<Object, Boolean> holds) {
        return new Condition(
                text,
                answers -> answers.answer(name)
                        .map(value -> Truth.of(holds.apply(value)))
                        .orElse(Truth.UNKNOWN));
    }

    private static boolean compare(BigDecimal number, String operator, BigDecimal bound) {
        int order = number.compareTo(bound);
        return switch (operator) {
            case "<=" -> order <= 0;
            case ">=" -> order >= 0;
            case "<" -> order < 0;
            default -> order > 0;
        };
    }

    private static List<String> quoted(String list) {
        List<String> codes = new ArrayList<>();
        Matcher m = QUOTED.matcher(list);
        while (m.find()) {
            codes.add(m.group(1));
        }
        return codes;
    }

    public Truth test(Answered answers) {
        return test.apply(answers);
    }

    /** As written in the dictionary; empty for a question that is always asked. */
    @Override
    public String toString() {
        return text;
    }
}
