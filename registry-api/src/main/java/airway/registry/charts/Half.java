package airway.registry.charts;

import airway.registry.cohort.Stratum;
import java.util.Arrays;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/** Two kinds of cases, told apart by the answers to one question: is a difference the same in both? */
enum Half {
    /** Fewer than 25 intubations before; our own bound, that of the bands of experience. */
    EXPERIENCE(
            Stratum.OPERATOR_EXPERIENCE,
            "novices (fewer than 25 intubations before)",
            Set.of("lt10", "10_24"),
            "others",
            Set.of("25_100", "gt100")),
    DIFFICULTY(
            Stratum.DIFFICULTY_PREDICTED,
            "airways expected to be difficult",
            Set.of("yes"),
            "airways not expected to be",
            Set.of("no")),
    MOUTH_OPENING(
            Stratum.LIMITED_MOUTH_OPENING,
            "mouths that open little",
            Set.of("yes"),
            "mouths that open well",
            Set.of("no"));

    private final Stratum stratum;
    private final String first;
    private final Set<String> firstCodes;
    private final String second;
    private final Set<String> secondCodes;

    Half(Stratum stratum, String first, Set<String> firstCodes, String second, Set<String> secondCodes) {
        this.stratum = stratum;
        this.first = first;
        this.firstCodes = firstCodes;
        this.second = second;
        this.secondCodes = secondCodes;
    }

    static Optional<Half> named(String variable) {
        return Arrays.stream(values())
                .filter(half -> half.stratum.variable().equals(variable))
                .findFirst();
    }

    static String names() {
        return Arrays.stream(values()).map(half -> half.stratum.variable()).collect(Collectors.joining(", "));
    }

    Stratum stratum() {
        return stratum;
    }

    String first() {
        return first;
    }

    String second() {
        return second;
    }

    /** Whether the answer belongs to the first kind, the second, or neither (null). */
    @Nullable
    Boolean inFirst(String code) {
        return firstCodes.contains(code) ? Boolean.TRUE : secondCodes.contains(code) ? Boolean.FALSE : null;
    }
}
