package airway.registry.encounter;

import airway.registry.access.Site;
import airway.registry.dictionary.Dictionary;
import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.UUID;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;

/** The fields of the record page as they were typed and ticked; right or wrong, they are shown again unchanged. */
public record Typed(Map<String, List<String>> fields) {
    /** More attempts than the checks of a record take are not offered. */
    static final int MOST_ATTEMPTS = 15;

    /** An empty form: only the place is filled in, from the unit; nothing about the child or the procedure is. */
    static Typed blank(Site unit) {
        boolean place = !unit.kind().equals("other")
                && Dictionary.current().variable("location").code(unit.kind()).isPresent();
        return new Typed(place ? Map.of("location", List.of(unit.kind())) : Map.of());
    }

    /**
     * The same, with what names this filling-in: the key under which it is saved, so that saving twice makes one record;
     * when the page was first opened, from which "just now" is counted; and the page, for its draft.
     */
    Typed begun(Instant now) {
        Map<String, List<String>> begun = new LinkedHashMap<>(fields);
        begun.putIfAbsent("key", List.of(UUID.randomUUID().toString()));
        begun.putIfAbsent("opened", List.of(String.valueOf(now.getEpochSecond())));
        begun.putIfAbsent("writer", List.of(UUID.randomUUID().toString()));
        begun.putIfAbsent("revision", List.of("0"));
        return new Typed(begun);
    }

    /** When the page was first opened, to the second; {@code now} where it does not say. */
    Instant opened(Instant now) {
        String seconds = one("opened");
        return seconds != null && seconds.matches("\\d{1,10}") ? Instant.ofEpochSecond(Long.parseLong(seconds)) : now;
    }

    /** The record that is being put right, or null on a new one. */
    @Nullable
    UUID amends() {
        String record = one("amends");
        try {
            return record == null ? null : UUID.fromString(record);
        } catch (IllegalArgumentException e) {
            return null;
        }
    }

    /** What a draft keeps: all but which page wrote it, and how often. */
    Typed answersOnly() {
        Map<String, List<String>> kept = new LinkedHashMap<>(fields);
        kept.keySet().removeAll(Set.of("writer", "revision", "later", "leave", "attempt"));
        return new Typed(kept);
    }

    /** The same with one field more. */
    Typed with(String field, String value) {
        Map<String, List<String>> changed = new LinkedHashMap<>(fields);
        changed.put(field, List.of(value));
        return new Typed(changed);
    }

    /** The same without a field. */
    Typed without(String field) {
        Map<String, List<String>> changed = new LinkedHashMap<>(fields);
        changed.remove(field);
        return new Typed(changed);
    }

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

    /** The lines of a field of several lines, each of them once. */
    List<String> lines(String field) {
        return all(field).stream()
                .flatMap(String::lines)
                .map(String::strip)
                .filter(line -> !line.isEmpty())
                .distinct()
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

    /** The prefix of the fields of an event. */
    static String event(String code) {
        return "event." + code + ".";
    }
}
