package airway.registry.reviews;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;

/** What contributed to what happened. The list is our own and closed; it names no person. */
enum Contribution {
    PREPARATION("Preparation"),
    POSITIONING("Positioning"),
    EQUIPMENT("Equipment"),
    DRUGS("Drugs"),
    TEAM("Team"),
    COMMUNICATION("Communication"),
    ANATOMY("The patient's anatomy"),
    PHYSIOLOGY("The patient's physiology"),
    NOTHING_FOUND("Nothing found");

    private final String label;

    Contribution(String label) {
        this.label = label;
    }

    public String label() {
        return label;
    }

    /** As stored and sent. */
    public String value() {
        return name().toLowerCase(Locale.ROOT);
    }

    static Contribution of(String value) {
        return valueOf(value.toUpperCase(Locale.ROOT));
    }

    static List<String> values(List<Contribution> all) {
        return all.stream().map(Contribution::value).toList();
    }

    static List<String> all() {
        return values(Arrays.asList(values()));
    }
}
