package airway.registry.encounter;

import airway.registry.dictionary.Condition;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import java.math.BigDecimal;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SortedSet;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;

/**
 * What was answered for one object of a record: an encounter, a course, an attempt.
 *
 * <p>Three states of a variable stay apart: answered, asked and not known, blank. An answer is a String (code or text),
 * an Integer, a BigDecimal, an Instant or a List of codes, by the type of its variable.
 */
public final class Answers {
    private final Level level;
    private final Map<String, Object> values;
    private final SortedSet<String> unknown;

    Answers(Level level, Map<String, Object> values, SortedSet<String> unknown) {
        this.level = level;
        this.values = Collections.unmodifiableMap(new LinkedHashMap<>(values));
        this.unknown = Collections.unmodifiableSortedSet(new TreeSet<>(unknown));
    }

    static Answers none(Level level) {
        return new Answers(level, Map.of(), new TreeSet<>());
    }

    public Level level() {
        return level;
    }

    /** The answers by name of the variable, in the order given. */
    public Map<String, Object> values() {
        return values;
    }

    /** Variables asked and not known. */
    public SortedSet<String> unknown() {
        return unknown;
    }

    public Optional<Object> value(String variable) {
        return Optional.ofNullable(values.get(variable));
    }

    /** A code or text. */
    public @Nullable String text(String variable) {
        return values.get(variable) instanceof String text ? text : null;
    }

    /** A whole number. */
    public @Nullable Integer number(String variable) {
        return values.get(variable) instanceof Integer number ? number : null;
    }

    /** The codes of a list; empty when blank. */
    public List<String> list(String variable) {
        return values.get(variable) instanceof List<?> list
                ? list.stream().map(String.class::cast).toList()
                : List.of();
    }

    public boolean is(String variable, String code) {
        return code.equals(values.get(variable));
    }

    /** Whether the question was answered, "not known" included. */
    public boolean settled(String variable) {
        return values.containsKey(variable) || unknown.contains(variable);
    }

    /** The answer in words, or null when there is none. */
    public @Nullable String words(String variable) {
        Variable meaning = Dictionary.current().variable(variable);
        Object value = values.get(variable);
        if (value == null) {
            return unknown.contains(variable) ? "not known" : null;
        }
        if (value instanceof List<?> list) {
            return String.join(
                    ", ",
                    list.stream().map(code -> meaning.label(code.toString())).toList());
        }
        if (value instanceof BigDecimal decimal) {
            return decimal.stripTrailingZeros().toPlainString();
        }
        return meaning.label(value.toString());
    }

    /** As a condition sees them: numbers as decimals. */
    Optional<Object> forCondition(String variable) {
        return value(variable).map(value -> value instanceof Integer number ? BigDecimal.valueOf(number) : value);
    }

    /** What conditions may look at when the object points to no other. */
    Condition.Answered alone() {
        return new Condition.Answered() {
            @Override
            public Optional<Object> answer(String variable) {
                return forCondition(variable);
            }

            @Override
            public boolean anyMissing(String variable) {
                return false;
            }
        };
    }

    /** A variable whose condition is known not to hold: it was not to be asked. */
    static boolean notAsked(Variable variable, Condition.Answered answered) {
        return variable.when().test(answered) == Condition.Truth.FALSE;
    }
}
