package airway.registry.dictionary;

import java.util.Arrays;
import java.util.Optional;

/**
 * A list that says which types of event are severe. The lists themselves are in the database (analysis.severity); the
 * version here is the one in force there.
 */
public enum Scheme {
    A(1, "Lee 2016, BMC Pediatr 16:58, table 4"),
    B(1, "the usual later list of the same group, from memory"),
    C(1, "the registry's own: severe where A or B says severe");

    /** The one that is read where none is named. */
    public static final Scheme DEFAULT = C;

    private final int version;
    private final String source;

    Scheme(int version, String source) {
        this.version = version;
        this.source = source;
    }

    public static Optional<Scheme> named(String name) {
        return Arrays.stream(values())
                .filter(scheme -> scheme.name().equals(name))
                .findFirst();
    }

    public int version() {
        return version;
    }

    public String source() {
        return source;
    }

    /** "scheme C, version 1". */
    public String words() {
        return "scheme " + name() + ", version " + version;
    }
}
