package airway.registry.web;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Predicate;
import java.util.function.Supplier;
import tools.jackson.databind.JsonNode;

/** A JSON body that says what a form says: its fields as parameters, and those of {@code filters} too. */
public final class JsonParameters {
    private static final String FILTERS = "filters";

    private JsonParameters() {}

    /**
     * The body as parameters.
     *
     * @param parts the fields it may have, the object of filters among them
     * @param known whether there is such a filter
     * @throws Problem.Malformed if it is no object, or has other fields
     */
    public static Map<String, List<String>> of(JsonNode body, Set<String> parts, Predicate<String> known) {
        if (!body.isObject()) {
            throw new Problem.Malformed(Fault.at("", "type", "Send a JSON object."));
        }
        List<Fault> faults = new ArrayList<>();
        Map<String, List<String>> parameters = new HashMap<>();
        body.properties().forEach(part -> {
            if (!parts.contains(part.getKey())) {
                faults.add(Fault.at(
                        "/" + pointer(part.getKey()), "field.unknown", "There is no such field here; leave it out."));
            } else if (!part.getKey().equals(FILTERS)) {
                parameters.put(part.getKey(), values(part.getValue()));
            }
        });
        body.path(FILTERS).properties().forEach(one -> {
            if (known.test(one.getKey())) {
                parameters.put(one.getKey(), values(one.getValue()));
            } else {
                faults.add(Fault.at(
                        "/" + FILTERS + "/" + pointer(one.getKey()),
                        "field.unknown",
                        "There is no such filter; leave it out."));
            }
        });
        if (!faults.isEmpty()) {
            throw new Problem.Malformed("The body has fields that cannot be taken.", faults);
        }
        return parameters;
    }

    /** Does the work; what is wrong with a parameter is told as wrong with a field of the body. */
    public static <T> T told(Set<String> parts, Supplier<T> work) {
        try {
            return work.get();
        } catch (Problem.Malformed e) {
            throw new Problem.Malformed(
                    e.detail(),
                    e.faults().stream()
                            .map(fault -> fault.place() == Fault.Place.POINTER
                                    ? fault
                                    : Fault.at(
                                            (parts.contains(fault.path()) ? "/" : "/" + FILTERS + "/") + fault.path(),
                                            fault.code(),
                                            fault.mend()))
                            .toList());
        }
    }

    private static String pointer(String name) {
        return name.replace("~", "~0").replace("/", "~1");
    }

    private static List<String> values(JsonNode value) {
        List<String> values = new ArrayList<>();
        (value.isArray() ? value : List.of(value)).forEach(one -> values.add(one.asString("")));
        return values;
    }
}
