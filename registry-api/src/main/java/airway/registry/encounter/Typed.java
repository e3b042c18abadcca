package airway.registry.encounter;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;

/** The fields of the record page as they were typed and ticked; right or wrong, they are shown again unchanged. */
public record Typed(Map<String, List<String>> fields) {
    /** More attempts than the checks of a record take are not offered. */
    static final int MOST_ATTEMPTS = 15;

    /** The answer of a field, or null when it was left blank. */
    public @Nullable String one(String field) {
        return all(field).stream().findFirst().orElse(null);
    }

    /** All ticks of a field. */
    public List<String> all(String field) {
        return fields.getOrDefault(field, List.of()).stream()
                .map(String::strip)
                .filter(value -> !value.isEmpty())
                .toList();
    }

    public boolean has(String field, String value) {
        return all(field).contains(value);
    }

    /** How many attempts the form shows. */
    public int attempts() {
        String number = one("attempts");
        return number != null && number.matches("\\d{1,2}")
                ? Math.max(1, Math.min(MOST_ATTEMPTS, Integer.parseInt(number)))
                : 1;
    }

    /** The same with one attempt more, or without the last one. */
    Typed withAttempts(@Nullable String change) {
        int number = Math.max(1, Math.min(MOST_ATTEMPTS, attempts() + ("another".equals(change) ? 1 : -1)));
        Map<String, List<String>> changed = new LinkedHashMap<>(fields);
        changed.put("attempts", List.of(String.valueOf(number)));
        for (int gone = number + (number > attempts() ? 0 : 1); gone <= MOST_ATTEMPTS; gone++) {
            String prefix = attempt(gone);
            changed.keySet().removeIf(field -> field.startsWith(prefix));
        }
        if (number < attempts()) {
            changed.remove(attempt(number) + "next");
        }
        return new Typed(changed);
    }

    /** Which attempts the form shows, by number. */
    public List<Integer> attemptNumbers() {
        return IntStream.rangeClosed(1, attempts()).boxed().toList();
    }

    /** The prefix of the fields of an attempt. */
    static String attempt(int number) {
        return "a" + number + ".";
    }
}
