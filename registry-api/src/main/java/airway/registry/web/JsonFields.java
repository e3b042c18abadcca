package airway.registry.web;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/**
 * The fields of a flat JSON object that are no variables of the dictionary, read one by one; what is wrong is collected,
 * so that all of it is told at once.
 */
public final class JsonFields {
    private static final JsonMapper JSON = new JsonMapper();

    private final JsonNode json;
    private final String pointer;
    private final List<Fault> faults;

    private JsonFields(JsonNode json, String pointer, List<Fault> faults) {
        this.json = json;
        this.pointer = pointer;
        this.faults = faults;
    }

    /**
     * The fields of a body.
     *
     * @throws Problem.Malformed if it is no object, or has other fields
     */
    public static JsonFields of(JsonNode body, Set<String> known) {
        return of(body, "", known, new ArrayList<>());
    }

    private static JsonFields of(JsonNode json, String pointer, Set<String> known, List<Fault> faults) {
        if (!json.isObject()) {
            throw new Problem.Malformed(Fault.at(pointer, "type", "Send a JSON object."));
        }
        List<Fault> unreadable = json.propertyNames().stream()
                .filter(name -> !known.contains(name))
                .map(name -> Fault.at(
                        pointer + "/" + name.replace("~", "~0").replace("/", "~1"),
                        "field.unknown",
                        "There is no such field here; leave it out."))
                .toList();
        if (!unreadable.isEmpty()) {
            throw new Problem.Malformed("The body has fields that cannot be taken.", unreadable);
        }
        return new JsonFields(json, pointer, faults);
    }

    /** The object in a field, read into the same list of faults; without it an empty one. */
    public JsonFields inside(String name, Set<String> known) {
        JsonNode inner = json.path(name);
        return of(
                inner.isMissingNode() || inner.isNull() ? JSON.createObjectNode() : inner,
                pointer + "/" + name,
                known,
                faults);
    }

    /** The object at a place of a list, from 0, read into the same list of faults. */
    public JsonFields element(String name, int place, Set<String> known) {
        return of(json.path(name).path(place), pointer + "/" + name + "/" + place, known, faults);
    }

    /** Whether a field is absent or null. */
    public boolean blank(String name) {
        return json.path(name).isMissingNode() || json.path(name).isNull();
    }

    /**
     * A text without what stands around it; line breaks become spaces.
     *
     * @param longest in characters
     * @return null where it is blank
     */
    public @Nullable String text(String name, int longest) {
        if (blank(name)) {
            return null;
        }
        JsonNode value = json.path(name);
        String text = value.isString() ? value.stringValue().strip().replaceAll("\\R", " ") : "";
        if (text.length() > longest
                || text.chars().anyMatch(Character::isISOControl)
                || (text.isEmpty() && !value.isString())) {
            fault(name, "text", "Write " + longest + " characters at most" + (value.isString() ? "." : ", as a text."));
            return null;
        }
        return text.isEmpty() ? null : text;
    }

    /**
     * A text of several lines without what stands around it.
     *
     * @param longest in characters
     * @return null where it is blank
     */
    public @Nullable String lines(String name, int longest) {
        if (blank(name)) {
            return null;
        }
        JsonNode value = json.path(name);
        String text = value.isString() ? value.stringValue().strip().replaceAll("\\R", "\n") : "";
        if (text.length() > longest
                || text.chars().anyMatch(character -> Character.isISOControl(character) && character != '\n')
                || !value.isString()) {
            fault(name, "text", "Write " + longest + " characters at most" + (value.isString() ? "." : ", as a text."));
            return null;
        }
        return text.isEmpty() ? null : text;
    }

    /**
     * A whole number.
     *
     * @return null where it is blank or none
     */
    public @Nullable Integer whole(String name, int least, int most) {
        if (blank(name)) {
            return null;
        }
        JsonNode value = json.path(name);
        if (!value.isIntegralNumber()
                || !value.canConvertToInt()
                || value.intValue() < least
                || value.intValue() > most) {
            fault(name, "number", "Write a whole number from " + least + " to " + most + ".");
            return null;
        }
        return value.intValue();
    }

    /**
     * A moment as 2026-03-14T07:55, in the zone given unless it names its own.
     *
     * @return null where it is blank or none
     */
    public @Nullable Instant moment(String name, ZoneId zone) {
        if (blank(name)) {
            return null;
        }
        String text = json.path(name).asString("").strip().replace(' ', 'T');
        try {
            return text.matches(".*(Z|[+-]\\d{2}:\\d{2})")
                    ? OffsetDateTime.parse(text).toInstant()
                    : LocalDateTime.parse(text).atZone(zone).toInstant();
        } catch (DateTimeException e) {
            fault(name, "moment", "Write day and time as 2026-03-14T07:55.");
            return null;
        }
    }

    /** A day as 2026-03-14; null where it is blank or none. */
    public @Nullable LocalDate date(String name) {
        if (blank(name)) {
            return null;
        }
        String text = json.path(name).asString("").strip();
        if (!text.matches("\\d{4}-\\d{2}-\\d{2}")) {
            fault(name, "date", "Write the day as 2026-03-14: year, month, day.");
            return null;
        }
        try {
            return LocalDate.parse(text);
        } catch (DateTimeException e) {
            fault(name, "date.none", "There is no such day in the calendar; look at the month and the day again.");
            return null;
        }
    }

    /**
     * One of some codes.
     *
     * @param mend what to say when it is none of them
     * @return null where it is blank or none
     */
    public @Nullable String code(String name, List<String> codes, String mend) {
        if (blank(name)) {
            return null;
        }
        String code = json.path(name).asString("");
        if (!codes.contains(code)) {
            fault(name, "code", mend);
            return null;
        }
        return code;
    }

    /**
     * A list of codes, each of them once.
     *
     * @param mend what to say when one is none of them
     * @return empty where it is blank or has a fault
     */
    public List<String> codes(String name, List<String> codes, String mend) {
        JsonNode list = json.path(name);
        if (blank(name)) {
            return List.of();
        }
        Set<String> found = new LinkedHashSet<>();
        if (!list.isArray()) {
            fault(name, "type", "Send a list.");
        }
        for (int i = 0; list.isArray() && i < list.size(); i++) {
            String code = list.get(i).asString("");
            if (!codes.contains(code) || !found.add(code)) {
                fault(name + "/" + i, "code", mend);
                return List.of();
            }
        }
        return List.copyOf(found);
    }

    /** Says that something is wrong with a field, unless something was said about it already. */
    public void fault(String name, String code, String mend) {
        String path = pointer + "/" + name;
        if (faults.stream().noneMatch(fault -> fault.path().equals(path))) {
            faults.add(Fault.at(path, code, mend));
        }
    }

    /** The value, or a fault that it is needed. */
    public <T> @Nullable T needed(String name, @Nullable T value, String mend) {
        if (value == null) {
            fault(name, "required", mend);
        }
        return value;
    }

    /**
     * Ends the reading.
     *
     * @throws Problem.Invalid with everything that is wrong
     */
    public void check() {
        if (!faults.isEmpty()) {
            throw new Problem.Invalid(faults);
        }
    }
}
