package airway.registry.quality;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Variable;
import java.util.Set;

/**
 * What came of a question in a period.
 *
 * @param variable its name in the dictionary
 * @param asked how often its condition held, or could not be told
 * @param blank of these, left without any answer
 * @param known of these, answered with something other than "not known"
 */
record Question(String variable, long asked, long blank, long known) {
    /** Asked less often than this, a question is not judged. Our own choice. */
    static final int FEWEST = 20;

    /** Taken as usual when left blank, or told by the page itself: a blank says nothing about the question. */
    private static final Set<String> FILLED_IN = Set.of("encounter_start_precision", "operator_is_recorder");

    boolean filledIn() {
        return FILLED_IN.contains(variable);
    }

    Variable meaning() {
        return Dictionary.current().variable(variable);
    }

    Layer layer() {
        return meaning().layer();
    }

    Question plus(Question other) {
        return new Question(variable, asked + other.asked, blank + other.blank, known + other.known);
    }

    Share answered() {
        return new Share(asked - blank, asked);
    }

    Share missing() {
        return new Share(blank, asked);
    }

    Share notKnown() {
        return new Share(asked - blank - known, asked);
    }

    Share knownShare() {
        return new Share(known, asked);
    }

    /** More often blank than answered, over enough cases: worth asking whether it is worth asking. */
    boolean emptyMostly() {
        return asked >= FEWEST && 2 * blank > asked;
    }
}
