package airway.sql;

/** Something outside the program keeps it from starting; the message is one sentence for the person who started it. */
public final class CannotStart extends RuntimeException {
    public CannotStart(String sentence) {
        super(sentence);
    }

    public CannotStart(String sentence, Throwable cause) {
        super(sentence, cause);
    }
}
