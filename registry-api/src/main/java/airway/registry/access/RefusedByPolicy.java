package airway.registry.access;

/** The program declines to do something it could do; the message is one sentence that says why. */
public final class RefusedByPolicy extends RuntimeException {
    public RefusedByPolicy(String sentence) {
        super(sentence);
    }
}
