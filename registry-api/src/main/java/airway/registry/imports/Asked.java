package airway.registry.imports;

import airway.registry.dictionary.Condition;
import airway.registry.dictionary.Variable;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ObjectNode;

/**
 * Whether a question is asked at one object of a record that is still JSON.
 *
 * @param sources the object itself first, then those it points to
 * @param attempts all attempts of the record
 */
record Asked(List<ObjectNode> sources, List<ObjectNode> attempts) implements Condition.Answered {

    /** False only when the condition is known not to hold. */
    boolean asks(Variable variable) {
        return variable.when().test(this) != Condition.Truth.FALSE;
    }

    @Override
    public Optional<Object> answer(String variable) {
        return sources.stream()
                .filter(source -> source.has(variable))
                .findFirst()
                .map(source -> value(source.path(variable)));
    }

    @Override
    public boolean anyMissing(String variable) {
        return attempts.stream().anyMatch(attempt -> !attempt.has(variable));
    }

    private static Object value(JsonNode answer) {
        if (answer.isNumber()) {
            return answer.decimalValue();
        }
        if (answer.isArray()) {
            List<String> codes = new ArrayList<>();
            answer.forEach(code -> codes.add(code.asString("")));
            return codes;
        }
        return answer.asString("");
    }
}
