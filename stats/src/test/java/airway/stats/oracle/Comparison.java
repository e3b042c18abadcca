package airway.stats.oracle;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/**
 * The rule of comparison: every expected key has to be there; a real number g matches e when |g - e| is at most tolerance
 * times the larger of 1 and |e|; everything else matches exactly. Further keys are allowed. Infinity is the text "Inf".
 */
final class Comparison {

    private final double tolerance;
    private final List<String> differences = new ArrayList<>();

    private Comparison(double tolerance) {
        this.tolerance = tolerance;
    }

    /** What differs, one line for each key: the key, what was expected, what was got. */
    static List<String> differences(JsonNode expected, Map<String, ? extends @Nullable Object> got, double tolerance) {
        Comparison comparison = new Comparison(tolerance);
        comparison.compareKeys("", expected, got);
        return comparison.differences;
    }

    private void compareKeys(String path, JsonNode expected, Map<?, ? extends @Nullable Object> got) {
        expected.propertyStream().forEach(entry -> {
            String key = path + entry.getKey();
            if (got.containsKey(entry.getKey())) {
                compare(key, entry.getValue(), got.get(entry.getKey()));
            } else {
                differences.add(key + ": expected " + entry.getValue() + ", got no such key");
            }
        });
    }

    private void compare(String key, JsonNode expected, @Nullable Object got) {
        if (expected.isObject() && got instanceof Map<?, ?> map) {
            compareKeys(key + ".", expected, map);
        } else if (got instanceof List<?> list) {
            compareItems(key, expected, list);
        } else if (!matches(expected, got)) {
            differences.add(key + ": expected " + expected + ", got " + got);
        }
    }

    private void compareItems(String key, JsonNode expected, List<?> got) {
        if (!expected.isArray() && got.size() == 1) {
            // The program that wrote the reference values writes a list of one value as the value.
            compare(key, expected, got.get(0));
        } else if (!expected.isArray() || expected.size() != got.size()) {
            differences.add(key + ": expected " + expected + ", got " + got);
        } else {
            for (int i = 0; i < got.size(); i++) {
                compare(key + "[" + i + "]", expected.get(i), got.get(i));
            }
        }
    }

    private boolean matches(JsonNode expected, @Nullable Object got) {
        if (got == null) {
            return expected.isNull();
        }
        if (got instanceof Double number) {
            return Double.isInfinite(number)
                    ? expected.isString() && expected.asString().equals(number > 0 ? "Inf" : "-Inf")
                    : expected.isNumber()
                            && Math.abs(number - expected.asDouble())
                                    <= tolerance * Math.max(1, Math.abs(expected.asDouble()));
        }
        if (got instanceof Integer || got instanceof Long) {
            return expected.isNumber() && expected.asDouble() == ((Number) got).doubleValue();
        }
        if (got instanceof Boolean flag) {
            return expected.isBoolean() && expected.asBoolean() == flag;
        }
        return expected.isString() && expected.asString().equals(got.toString());
    }
}
