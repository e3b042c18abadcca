package airway.registry.dictionary;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Predicate;
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
    public static final Condition ALWAYS = new Condition("", new Term.Always());

    private static final String NAME = "([a-z0-9_]+)";
    private static final Pattern CONTAINS = Pattern.compile("contains\\(" + NAME + ",\\s*'([^']*)'\\)");
    private static final Pattern ANY_MISSING = Pattern.compile("any_missing\\(" + NAME + "\\)");
    private static final Pattern PRESENT = Pattern.compile(NAME + "\\s*!=\\s*null");
    private static final Pattern IN = Pattern.compile(NAME + "\\s+(not\\s+)?in\\s+\\[(.*)]");
    private static final Pattern CODE = Pattern.compile(NAME + "\\s*(==|!=)\\s*'([^']*)'");
    private static final Pattern NUMBER = Pattern.compile(NAME + "\\s*(<=|>=|<|>)\\s*(-?[0-9.]+)");
    private static final Pattern QUOTED = Pattern.compile("'([^']*)'");

    /** What a condition says, for those who put it into another language. */
    public sealed interface Term {
        /** Holds always. */
        record Always() implements Term {}

        record Not(Term inner) implements Term {}

        /** A list holds a code. */
        record Contains(String variable, String code) implements Term {}

        /** Some attempt of the encounter lacks an answer. */
        record AnyMissing(String variable) implements Term {}

        /** There is an answer. */
        record Present(String variable) implements Term {}

        /** A code is one of several. */
        record OneOf(String variable, List<String> codes) implements Term {}

        /**
         * A number lies on one side of a bound.
         *
         * @param operator one of {@code <=}, {@code >=}, {@code <}, {@code >}
         */
        record Compare(String variable, String operator, BigDecimal bound) implements Term {}
    }

    private final String text;
    private final Term term;

    private Condition(String text, Term term) {
        this.text = text;
        this.term = term;
    }

    /**
     * Reads a condition.
     *
     * @throws IllegalArgumentException if it is not of the condition language
     */
    public static Condition parse(String text) {
        return new Condition(text, term(text.strip()));
    }

    private static Term term(String expression) {
        if (expression.startsWith("not ")) {
            return new Term.Not(term(expression.substring(4).strip()));
        }
        Matcher m = CONTAINS.matcher(expression);
        if (m.matches()) {
            return new Term.Contains(m.group(1), m.group(2));
        }
        m = ANY_MISSING.matcher(expression);
        if (m.matches()) {
            return new Term.AnyMissing(m.group(1));
        }
        m = PRESENT.matcher(expression);
        if (m.matches()) {
            return new Term.Present(m.group(1));
        }
        m = IN.matcher(expression);
        if (m.matches()) {
            Term oneOf = new Term.OneOf(m.group(1), quoted(m.group(3)));
            return m.group(2) == null ? oneOf : new Term.Not(oneOf);
        }
        m = CODE.matcher(expression);
        if (m.matches()) {
            Term is = new Term.OneOf(m.group(1), List.of(m.group(3)));
            return m.group(2).equals("==") ? is : new Term.Not(is);
        }
        m = NUMBER.matcher(expression);
        if (m.matches()) {
            return new Term.Compare(m.group(1), m.group(2), new BigDecimal(m.group(3)));
        }
        throw new IllegalArgumentException("condition not understood: " + expression);
    }

    private static List<String> quoted(String list) {
        List<String> codes = new ArrayList<>();
        Matcher m = QUOTED.matcher(list);
        while (m.find()) {
            codes.add(m.group(1));
        }
        return List.copyOf(codes);
    }

    public Term term() {
        return term;
    }

    public Truth test(Answered answers) {
        return test(term, answers);
    }

    private static Truth test(Term term, Answered answers) {
        if (term instanceof Term.Not not) {
            return test(not.inner(), answers).not();
        } else if (term instanceof Term.Contains contains) {
            return about(
                    answers,
                    contains.variable(),
                    value -> value instanceof List<?> list && list.contains(contains.code()));
        } else if (term instanceof Term.AnyMissing missing) {
            return Truth.of(answers.anyMissing(missing.variable()));
        } else if (term instanceof Term.Present present) {
            return Truth.of(answers.answer(present.variable()).isPresent());
        } else if (term instanceof Term.OneOf oneOf) {
            return about(answers, oneOf.variable(), value -> oneOf.codes().contains(value.toString()));
        } else if (term instanceof Term.Compare compare) {
            return about(
                    answers,
                    compare.variable(),
                    value ->
                            value instanceof BigDecimal number && compare(number, compare.operator(), compare.bound()));
        }
        return Truth.TRUE;
    }

    private static Truth about(Answered answers, String variable, Predicate<Object> holds) {
        return answers.answer(variable)
                .map(value -> Truth.of(holds.test(value)))
                .orElse(Truth.UNKNOWN);
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

    /** As written in the dictionary; empty for a question that is always asked. */
    @Override
    public String toString() {
        return text;
    }
}
