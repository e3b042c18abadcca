package airway.registry.encounter;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.BooleanNode;
import tools.jackson.databind.node.ObjectNode;

/**
 * What somebody changed on the record page, laid over a record: answers the page did not change, and answers it cannot
 * show, stay as they are.
 *
 * <p>Attempts are told apart by their number, courses by the attempt they begin with, events by their type.
 */
final class Change {
    /** The state of a variable that was asked and is not known; no answer is a JSON boolean. */
    private static final JsonNode UNKNOWN = BooleanNode.TRUE;

    private final JsonNode was;
    private final ObjectNode now;
    private final JsonNode base;

    private Change(JsonNode was, ObjectNode now, JsonNode base) {
        this.was = was;
        this.now = now;
        this.base = base;
    }

    /**
     * Turns {@code now} into the changed record.
     *
     * @param was what the page made of the record before anything was changed
     * @param now what the page makes of it after the change; becomes the record
     * @param base the record itself, or a later version of it with the same attempts
     */
    static void over(JsonNode was, ObjectNode now, JsonNode base) {
        new Change(was, now, base).apply();
    }

    private void apply() {
        merge(Level.ENCOUNTER, now, was, base);
        merge(Level.PATIENT, now.withObject("/patient"), was.path("patient"), base.path("patient"));
        Map<Integer, JsonNode> coursesWas = courses(was);
        Map<Integer, JsonNode> coursesBase = courses(base);
        List<JsonNode> attemptsWas = attempts(was);
        List<JsonNode> attemptsBase = attempts(base);
        int attempt = 0;
        for (JsonNode course : now.path("courses")) {
            JsonNode before = coursesWas.get(attempt);
            JsonNode kept = coursesBase.get(attempt);
            if (before != null && kept != null) {
                merge(Level.COURSE, (ObjectNode) course, before, kept);
                if (course.path("drugs").equals(before.path("drugs"))) {
                    ((ObjectNode) course).set("drugs", kept.path("drugs"));
                }
            }
            for (JsonNode one : course.path("attempts")) {
                if (attempt < attemptsWas.size() && attempt < attemptsBase.size()) {
                    merge(Level.ATTEMPT, (ObjectNode) one, attemptsWas.get(attempt), attemptsBase.get(attempt));
                }
                attempt++;
            }
        }
        events();
    }

    /** Courses by the place, from 0, of their first attempt. */
    private static Map<Integer, JsonNode> courses(JsonNode record) {
        Map<Integer, JsonNode> courses = new HashMap<>();
        int attempt = 0;
        for (JsonNode course : record.path("courses")) {
            courses.put(attempt, course);
            attempt += course.path("attempts").size();
        }
        return courses;
    }

    private static List<JsonNode> attempts(JsonNode record) {
        List<JsonNode> attempts = new ArrayList<>();
        record.path("courses").forEach(course -> course.path("attempts").forEach(attempts::add));
        return attempts;
    }

    /**
     * Events keep their order. One goes only if the page had shown its type and it is no longer ticked: what somebody else
     * has added meanwhile stays, and so do further rows of a type.
     */
    private void events() {
        Map<String, JsonNode> before = byType(was.path("events"));
        Map<String, JsonNode> ticked = byType(now.path("events"));
        Set<String> merged = new HashSet<>();
        ArrayNode events = now.arrayNode();
        for (JsonNode kept : base.path("events")) {
            JsonNode event = ticked.get(type(kept));
            JsonNode earlier = before.get(type(kept));
            if (event != null && earlier != null && merged.add(type(kept))) {
                merge(Level.EVENT, (ObjectNode) event, earlier, kept);
                events.add(event);
            } else if (event != null || earlier == null) {
                merged.add(type(kept));
                events.add(kept.deepCopy());
            }
        }
        ticked.forEach((type, event) -> {
            if (!merged.contains(type)) {
                events.add(event);
            }
        });
        now.set("events", events);
    }

    private static Map<String, JsonNode> byType(JsonNode events) {
        Map<String, JsonNode> byType = new LinkedHashMap<>();
        events.forEach(event -> byType.putIfAbsent(type(event), event));
        return byType;
    }

    private static String type(JsonNode event) {
        return event.path("event_type").asString("");
    }

    private static void merge(Level level, ObjectNode to, JsonNode before, JsonNode kept) {
        for (Variable variable : Dictionary.current().variables(level)) {
            String name = variable.name();
            if (variable.layer() != Layer.SYSTEM && Objects.equals(state(to, name), state(before, name))) {
                set(to, name, state(kept, name));
            }
        }
    }

    /** The value of a variable, {@link #UNKNOWN}, or null for a blank. */
    private static @Nullable JsonNode state(JsonNode object, String variable) {
        for (JsonNode name : object.path("unknown")) {
            if (name.asString().equals(variable)) {
                return UNKNOWN;
            }
        }
        JsonNode value = object.path(variable);
        return value.isMissingNode() || value.isNull() ? null : value;
    }

    private static void set(ObjectNode object, String variable, @Nullable JsonNode state) {
        object.remove(variable);
        List<String> unknown = new ArrayList<>();
        object.path("unknown").forEach(name -> unknown.add(name.asString()));
        unknown.remove(variable);
        if (UNKNOWN.equals(state)) {
            unknown.add(variable);
        } else if (state != null) {
            object.set(variable, state.deepCopy());
        }
        object.remove("unknown");
        if (!unknown.isEmpty()) {
            ArrayNode names = object.putArray("unknown");
            unknown.stream().sorted().forEach(names::add);
        }
    }
}
