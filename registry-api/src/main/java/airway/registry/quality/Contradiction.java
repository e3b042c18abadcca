package airway.registry.quality;

import airway.registry.encounter.Anchor;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** Answers that cannot easily both be right; found in SQL under the same names. */
enum Contradiction {
    FURTHER_ATTEMPT(
            "attempt_success",
            "a tube was in place and confirmed, and yet another attempt followed in the same course: was it lost, or was"
                    + " a change planned?"),
    NOT_CONFIRMED("confirmation", "placed, but none of the ways to confirm it was used."),
    OESOPHAGUS("event_type", "the tube went into the oesophagus, and no such event is told."),
    SCREEN_WORSE("view_screen", "the view on the screen is two grades worse than by eye."),
    TUBE_SIZE("tube_size_mm", "the size of the tube is far from what is usual at this age."),
    NO_EVENT_LOW("adverse_event_any", "\u201cno event\u201d, and a lowest saturation under 40%.");

    private final String variable;
    private final String words;

    Contradiction(String variable, String words) {
        this.variable = variable;
        this.words = words;
    }

    static Contradiction of(String kind) {
        return valueOf(kind.toUpperCase(Locale.ROOT));
    }

    String words(@Nullable Integer attempt) {
        String sentence = attempt == null ? words : "Attempt " + attempt + ": " + words;
        return sentence.substring(0, 1).toUpperCase(Locale.ROOT) + sentence.substring(1);
    }

    /** The field of the record page to begin with. */
    String field(@Nullable Integer attempt) {
        return Anchor.of(variable, variable.equals("event_type") ? null : attempt);
    }
}
