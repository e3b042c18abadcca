package airway.registry.release;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;

/** Who is told. What leaves the organisation is seen by those inside too, and not the other way round. */
enum Audience {
    /** Threshold of 5: the registry's own rule. */
    INSIDE("Stays in our organisation", 5),
    /** Threshold of 10. Practice of several health authorities, from which 1 to 9 or 1 to 10 must not leave. */
    OUTSIDE("Leaves our organisation", 10);

    private final String title;
    private final int threshold;

    Audience(String title, int threshold) {
        this.title = title;
        this.threshold = threshold;
    }

    public String code() {
        return name().toLowerCase(Locale.ROOT);
    }

    public String title() {
        return title;
    }

    /** The smallest number that may be told. */
    public int threshold() {
        return threshold;
    }

    static Optional<Audience> named(String code) {
        return Arrays.stream(values()).filter(one -> one.code().equals(code)).findFirst();
    }
}
