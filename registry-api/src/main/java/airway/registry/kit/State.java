package airway.registry.kit;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;

/** Where a reusable item is on its round. */
enum State {
    /** Entered, never released. */
    NEW("New, not released", Group.REST),
    /** Processed, in date, in the store. */
    READY("Ready", Group.READY),
    /** In a named drawer of a trolley. */
    PLACED("On the trolley", Group.READY),
    /** The pack was opened, no patient. */
    OPENED("Opened", Group.DIRTY),
    IN_USE("In use", Group.DIRTY),
    /** Dirty, waiting to be sent. */
    USED("Used, waiting to go", Group.DIRTY),
    /** Left under a tracking label. */
    SENT("Sent for decontamination", Group.AWAY),
    IN_PROCESSING("In processing", Group.AWAY),
    /** Back, not yet looked at. */
    RETURNED("Back, to be checked", Group.BACK),
    /** Kept apart until it is decided. */
    HELD("Held", Group.REST),
    REPAIR("Repair", Group.REST),
    MISSING("Missing", Group.REST),
    /** For good. */
    RETIRED("Out of use", Group.GONE);

    /** What the keeper looks for in the morning. */
    enum Group {
        READY,
        DIRTY,
        AWAY,
        BACK,
        REST,
        GONE
    }

    private final String words;
    private final Group group;

    State(String words, Group group) {
        this.words = words;
        this.group = group;
    }

    String code() {
        return name().toLowerCase(Locale.ROOT);
    }

    /** As it reads on a page. */
    String words() {
        return words;
    }

    Group group() {
        return group;
    }

    /**
     * Whether an item that goes into it must count as touched by a patient until it is processed. What is missing may have
     * been used by anybody.
     */
    boolean contaminates() {
        return group == Group.DIRTY || this == MISSING;
    }

    static Optional<State> of(String code) {
        return Arrays.stream(values())
                .filter(state -> state.code().equals(code))
                .findFirst();
    }
}
