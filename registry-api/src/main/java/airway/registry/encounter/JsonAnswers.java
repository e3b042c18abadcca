package airway.registry.encounter;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import airway.registry.problem.Fault;
import java.math.BigDecimal;
import java.time.OffsetDateTime;
import java.time.format.DateTimeParseException;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/**
 * Reads the answers of one JSON object by the dictionary: names, types, codes and hard limits.
 *
 * <p>A name that does not exist makes the request unreadable; a value that is wrong is a fault to mend. Both are
 * collected, so that all of them are told at once.
 */
final class JsonAnswers {
    /** Known to the dictionary, not kept yet: a date of birth comes with the encryption that it needs. */
    static final Set<String> NOT_KEPT = Set.of("birth_date");

    /** Answers of a list that stand alone. */
    static final List<String> ALONE = List.of("none", "unk");

    static final int LONGEST_TEXT = 64;

    /** Of a list that is no list of codes: so long may a line be, and so many lines. */
    static final int LONGEST_LINE = 100;

    static final int MOST_LINES = 12;

    /** Numbers are kept to this step. */
    static final BigDecimal SMALLEST = new BigDecimal("0.0001");

    private final List<Fault> unreadable;
    private final List<Fault> faults;

    JsonAnswers(List<Fault> unreadable, List<Fault> faults) {
        this.unreadable = unreadable;
        this.faults = faults;
    }

    /**
     * Reads one object.
     *
     * @param others names that are not variables and are read elsewhere
     * @return what could be read
     */
    Answers read(JsonNode object, String pointer, Level level, Set<String> others) {
        if (!object.isObject()) {
            if (!object.isMissingNode() && !object.isNull()) {
                faults.add(Fault.at(pointer, "type", "Send an object here."));
            }
            return Answers.none(level);
        }
        Map<String, Object> values = new LinkedHashMap<>();
        TreeSet<String> unknown = new TreeSet<>();
        for (Map.Entry<String, JsonNode> property : object.properties()) {
            String name = property.getKey();
            String at = pointer + "/" + escaped(name);
            Variable variable = Dictionary.current().find(level, name);
            if (others.contains(name)) {
                continue;
            }
            if (name.equals("unknown")) {
                unknown.addAll(unknown(property.getValue(), at, level));
            } else if (variable == null) {
                unreadable.add(Fault.at(at, "field.unknown", "There is no such field here; leave it out."));
            } else if (variable.layer() == Layer.SYSTEM) {
                unreadable.add(Fault.at(at, "field.system", "The registry sets this itself; leave it out."));
            } else if (!property.getValue().isNull()) {
                Object value = value(variable, property.getValue(), at);
                if (value != null) {
                    values.put(name, value);
                }
            }
        }
        for (String name : unknown) {
            if (values.containsKey(name)) {
                faults.add(Fault.at(
                        pointer + "/unknown",
                        "unknown.answered",
                        "A variable is either answered or not known: leave one of the two out."));
            }
        }
        return new Answers(level, values, unknown);
    }

    private @Nullable Object value(Variable variable, JsonNode json, String at) {
        if (NOT_KEPT.contains(variable.name())) {
            faults.add(Fault.at(at, "not.kept", "Dates of birth are not kept yet: send age_days."));
            return null;
        }
        return switch (variable.type()) {
            case INTEGER, NUMBER -> number(variable, json, at);
            case STRING -> text(variable, json, at);
            case LIST -> list(variable, json, at);
            case DATETIME -> instant(json, at);
            case DATE -> throw new IllegalStateException("no date is kept: " + variable.name());
        };
    }

    private @Nullable Object number(Variable variable, JsonNode json, String at) {
        boolean whole = variable.type() == Variable.Type.INTEGER;
        BigDecimal value = json.isNumber() ? json.decimalValue().stripTrailingZeros() : null;
        if (value == null || (whole && value.scale() > 0)) {
            return fault(at, "type", whole ? "Send a whole number." : "Send a number.");
        }
        if (!variable.hard().contains(value)) {
            return fault(at, "range", "Allowed is " + variable.hard().words() + unit(variable) + ".");
        }
        if (value.scale() > SMALLEST.scale()) {
            return fault(at, "range", "At most four decimals.");
        }
        return whole ? (Object) value.intValueExact() : value.scale() < 0 ? value.setScale(0) : value;
    }

    /** The unit as it follows a number. */
    static String unit(Variable variable) {
        String unit = variable.unit();
        if (unit == null || unit.equals("1") || unit.startsWith("{")) {
            return "";
        }
        return unit.equals("%") ? unit : " " + unit;
    }

    private @Nullable Object text(Variable variable, JsonNode json, String at) {
        if (!json.isString()) {
            return fault(at, "type", "Send a text.");
        }
        String value = json.stringValue();
        if (variable.coded()) {
            return variable.code(value).isPresent() ? value : fault(at, "code", "Allowed are " + codes(variable) + ".");
        }
        if (value.isBlank()
                || value.codePointCount(0, value.length()) > LONGEST_TEXT
                || value.chars().anyMatch(Character::isISOControl)) {
            return fault(at, "text", "Send 1 to " + LONGEST_TEXT + " characters, without control characters.");
        }
        return value;
    }

    private @Nullable Object list(Variable variable, JsonNode json, String at) {
        if (!json.isArray()) {
            return fault(at, "type", variable.coded() ? "Send a list of codes." : "Send a list of texts.");
        }
        if (!variable.coded()) {
            return lines(json, at);
        }
        Set<String> codes = new LinkedHashSet<>();
        for (int i = 0; i < json.size(); i++) {
            JsonNode item = json.get(i);
            if (!item.isString() || variable.code(item.stringValue()).isEmpty()) {
                fault(at + "/" + i, "code", "Allowed are " + codes(variable) + ".");
            } else if (!codes.add(item.stringValue())) {
                fault(at + "/" + i, "list.repeated", "Name each code once.");
            }
        }
        for (String alone : ALONE) {
            if (codes.contains(alone) && codes.size() > 1) {
                fault(
                        at,
                        "list." + alone + "_not_alone",
                        "\"" + alone + "\" stands alone: leave the others out, or it.");
            }
        }
        return codes.isEmpty() ? null : List.copyOf(codes);
    }

    private @Nullable Object lines(JsonNode json, String at) {
        if (json.size() > MOST_LINES) {
            return fault(at, "list.long", "At most " + MOST_LINES + ".");
        }
        Set<String> lines = new LinkedHashSet<>();
        for (int i = 0; i < json.size(); i++) {
            String line = json.get(i).isString() ? json.get(i).stringValue().strip() : "";
            if (line.isEmpty()
                    || line.codePointCount(0, line.length()) > LONGEST_LINE
                    || line.chars().anyMatch(Character::isISOControl)) {
                fault(at + "/" + i, "text", "Send 1 to " + LONGEST_LINE + " characters, without control characters.");
            } else if (!lines.add(line)) {
                fault(at + "/" + i, "list.repeated", "Name each once.");
            }
        }
        return lines.isEmpty() ? null : List.copyOf(lines);
    }

    private @Nullable Object instant(JsonNode json, String at) {
        if (!json.isString()) {
            return fault(at, "type", "Send date and time as a text, for example 2026-03-01T14:20:00+00:00.");
        }
        try {
            return OffsetDateTime.parse(json.stringValue()).toInstant().truncatedTo(ChronoUnit.SECONDS);
        } catch (DateTimeParseException e) {
            return fault(at, "datetime", "Send date, time and offset from UTC, for example 2026-03-01T14:20:00+00:00.");
        }
    }

    private List<String> unknown(JsonNode json, String at, Level level) {
        if (json.isNull()) {
            return List.of();
        }
        if (!json.isArray()) {
            fault(at, "type", "Send a list of names of variables.");
            return List.of();
        }
        List<String> names = new ArrayList<>();
        for (int i = 0; i < json.size(); i++) {
            String name = json.get(i).asString("");
            Variable variable = Dictionary.current().find(level, name);
            if (variable == null || variable.layer() == Layer.SYSTEM || NOT_KEPT.contains(name)) {
                fault(at + "/" + i, "unknown.name", "Name a variable that may be asked of this object.");
            } else if (variable.hasOwnUnknown()) {
                fault(at + "/" + i, "unknown.own_code", "This variable has an answer for it: send \"unk\".");
            } else {
                names.add(name);
            }
        }
        return names;
    }

    private static String codes(Variable variable) {
        return String.join(
                ", ", variable.codes().stream().map(code -> code.value()).toList());
    }

    private @Nullable Object fault(String at, String code, String mend) {
        faults.add(Fault.at(at, code, mend));
        return null;
    }

    /** A name as part of a JSON pointer (RFC 6901). */
    static String escaped(String name) {
        return name.replace("~", "~0").replace("/", "~1");
    }
}
