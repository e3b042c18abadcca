package airway.stats.disclosure;

import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;

/** Values that few patients have: "the only one with this diagnosis" is recognised by it alone, so they are grouped first. */
public final class RareValues {

    private RareValues() {}

    /** A patient has a value, perhaps one of several. */
    public record Held(String patient, String value) {}

    /**
     * The values that fewer than so many patients have, in the whole source and not only in what was asked for.
     *
     * @param k patients, 1 or more
     */
    public static Set<String> of(Collection<Held> all, int k) {
        Map<String, Set<String>> patients = new HashMap<>();
        all.forEach(held ->
                patients.computeIfAbsent(held.value(), none -> new HashSet<>()).add(held.patient()));
        return patients.entrySet().stream()
                .filter(value -> value.getValue().size() < k)
                .map(Map.Entry::getKey)
                .collect(Collectors.toUnmodifiableSet());
    }
}
