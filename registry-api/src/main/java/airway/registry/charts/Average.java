package airway.registry.charts;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;

/** What a change that cuts the chart does to the average. */
enum Average {
    /** Each phase has its own. */
    EACH("a new one after each change"),
    /** The one from before the first change is carried on, and what comes after is judged by it. */
    KEPT("kept from before the first change"),
    /** One for all, as if nothing had been changed. */
    ONE("one for the whole time");

    private final String title;

    Average(String title) {
        this.title = title;
    }

    static Optional<Average> named(String id) {
        return Arrays.stream(values())
                .filter(average -> average.id().equals(id))
                .findFirst();
    }

    String id() {
        return name().toLowerCase(Locale.ROOT);
    }

    String title() {
        return title;
    }
}
