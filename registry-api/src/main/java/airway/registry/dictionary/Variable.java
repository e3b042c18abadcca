package airway.registry.dictionary;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * One variable of the dictionary.
 *
 * @param name name in code, API and database
 * @param unit UCUM code, or null
 * @param codes allowed answers, empty where the answer is a number, a date or a text
 * @param hard limits outside which an answer is refused
 * @param soft limits outside which an answer must be confirmed
 * @param when the condition under which it is asked
 */
public record Variable(
        String name,
        String title,
        String description,
        Level level,
        Layer layer,
        Type type,
        @Nullable String unit,
        List<Code> codes,
        Range hard,
        Range soft,
        Condition when,
        String privacy,
        String source) {

    /** What kind of JSON value an answer is. */
    public enum Type {
        STRING,
        INTEGER,
        NUMBER,
        DATE,
        DATETIME,
        LIST
    }

    /** Inclusive limits in the unit of the variable; null where there is none. */
    public record Range(
            @Nullable BigDecimal minimum, @Nullable BigDecimal maximum) {
        static final Range NONE = new Range(null, null);

        public boolean contains(BigDecimal value) {
            return (minimum == null || value.compareTo(minimum) >= 0)
                    && (maximum == null || value.compareTo(maximum) <= 0);
        }

        /** The limits in words: "20 to 45", "at least 0", "at most 180". */
        public String words() {
            if (minimum == null) {
                return maximum == null ? "any value" : "at most " + maximum.toPlainString();
            }
            return maximum == null
                    ? "at least " + minimum.toPlainString()
                    : minimum.toPlainString() + " to " + maximum.toPlainString();
        }
    }

    public boolean coded() {
        return !codes.isEmpty();
    }

    public Optional<Code> code(String value) {
        return codes.stream().filter(code -> code.value().equals(value)).findFirst();
    }

    /** The words for a code, or the code itself where a later dictionary has dropped it. */
    public String label(String value) {
        return code(value).map(Code::label).orElse(value);
    }

    /** Whether "not known" is one of its codes, so that it needs no place in the list of unknowns. */
    public boolean hasOwnUnknown() {
        return type == Type.STRING && code("unk").isPresent();
    }
}
