package airway.registry.charts;

import airway.registry.cohort.Stratum;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/** Two kinds of cases, told apart by the answers to one question: is a difference the same in both? */
enum Half {
    /** Fewer than 25 intubations before; our own bound, that of the bands of experience. */
    EXPERIENCE(
            Stratum.OPERATOR_EXPERIENCE,
            "novices (fewer than 25 intubations before)",
            "lt10 10_24",
            "others",
            "25_100 gt100"),
    DIFFICULTY(
            Stratum.DIFFICULTY_PREDICTED,
            "airways expected to be difficult",
            "yes",
            "airways not expected to be",
            "no"),
    MOUTH_OPENING(Stratum.LIMITED_MOUTH_OPENING, "mouths that open little", "yes", "mouths that open well", "no");

    private final Stratum stratum;
    private final String first;
    private final String firstCodes;
    private final String second;
    private final String secondCodes;

    Half(Stratum stratum, String first, String firstCodes, String second, String secondCodes) {
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
        return has(firstCodes, code) ? Boolean.TRUE : has(secondCodes, code) ? Boolean.FALSE : null;
    }

    private static boolean has(String codes, String code) {
        return List.of(codes.split(" ", -1)).contains(code);
    }
}
