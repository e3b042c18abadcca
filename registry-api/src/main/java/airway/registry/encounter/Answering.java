package airway.registry.encounter;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Variable;
import java.math.BigDecimal;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Writes the answers of one object of a record, and notes which question of the page each of them comes from. */
final class Answering {
    /** The tile "Not known". */
    static final String NOT_KNOWN = "unk";

    private final ObjectNode node;
    private final String pointer;
    private final String attempt;
    private final Questions questions;
    private final Set<String> unknown = new TreeSet<>();

    /**
     * @param attempt how the page names the object: "Attempt 2: ", or empty
     */
    Answering(ObjectNode node, String pointer, String attempt, Questions questions) {
        this.node = node;
        this.pointer = pointer;
        this.attempt = attempt;
        this.questions = questions;
    }

    /** A code; null is blank, and "not known" goes where its variable has a place for it. */
    void code(String variable, String field, @Nullable String value) {
        asked(variable, field);
        if (value == null) {
            return;
        }
        if (value.equals(NOT_KNOWN) && !Dictionary.current().variable(variable).hasOwnUnknown()) {
            unknown(variable);
        } else {
            node.put(variable, value);
        }
    }

    /** Codes ticked; a list without a code of its own for it is named as not known. */
    void list(String variable, String field, List<String> ticked) {
        asked(variable, field);
        Variable meaning = Dictionary.current().variable(variable);
        if (ticked.contains(NOT_KNOWN) && meaning.code(NOT_KNOWN).isEmpty()) {
            if (ticked.size() > 1) {
                questions.fault(field, "\"Not known\" stands alone: leave the others out, or it.");
            }
            unknown(variable);
            return;
        }
        if (!ticked.isEmpty()) {
            ArrayNode list = node.putArray(variable);
            ticked.forEach(list::add);
        }
    }

    void number(String variable, String field, @Nullable Integer value) {
        asked(variable, field);
        if (value != null) {
            node.put(variable, value);
        }
    }

    void number(String variable, String field, @Nullable BigDecimal value) {
        asked(variable, field);
        if (value != null) {
            node.put(variable, value);
        }
    }

    /** Asked, and not known. */
    void unknown(String variable) {
        unknown.add(variable);
    }

    /** Notes where a variable is asked, answered or not. */
    void asked(String variable, String field) {
        questions.at(
                pointer + "/" + variable,
                field,
                attempt + Dictionary.current().variable(variable).title());
    }

    void close() {
        if (!unknown.isEmpty()) {
            ArrayNode names = node.putArray("unknown");
            unknown.forEach(names::add);
        }
    }
}
