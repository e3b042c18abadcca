package airway.registry.charts;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;

/** What a change that cuts the chart does to the average. */
enum Average {
    /** Each phase has its own. */
    EACH("a new one after each change"),
    /** The one that the unit kept; where it kept none, that of before the first change. What comes after is judged by it. */
    KEPT("kept from before"),
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
