package airway.registry.research;

import airway.stats.disclosure.RecognitionRisk;
import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;

/** Who will hold research data, and so how well hidden each child must be. Source of the values: our own rules of privacy. */
enum Profile {
    /** Anybody. The threshold is that of a regulator of medicines for public release, from memory. */
    PUBLIC("Anybody may have it", 0.09, false),
    /** The usual one. */
    CONTROLLED("One named researcher, under an agreement", 0.20, true),
    /** People of the organisation that holds the records: rows of one child can be joined, so these are data of persons. */
    INTERNAL_PSEUDONYMISED("People of this organisation only, under pseudonyms", 0.34, true);

    /** The largest share of rows that may be left out. */
    static final double MOST_REMOVED = 0.05;

    private final String title;
    private final double threshold;
    private final boolean years;

    Profile(String title, double threshold, boolean years) {
        this.title = title;
        this.threshold = threshold;
        this.years = years;
    }

    public String code() {
        return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    public String title() {
        return title;
    }

    /** Patients that every group must have. */
    int k() {
        return RecognitionRisk.smallestClass(threshold);
    }

    /** The largest risk allowed. */
    double threshold() {
        return threshold;
    }

    /** Whether the year of an intubation may leave; else only steps of two years. */
    boolean years() {
        return years;
    }

    static Optional<Profile> named(String code) {
        return Arrays.stream(values()).filter(one -> one.code().equals(code)).findFirst();
    }
}
