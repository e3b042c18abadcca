package airway.registry.problem;

import java.util.UUID;

/** Reads the key of something that a request names. */
public final class Key {
    private Key() {}

    /**
     * The key.
     *
     * @param what that is named, in a word
     * @throws Problem.Missing if it is no key at all: then there is no such thing either
     */
    public static UUID of(String text, String what) {
        try {
            return UUID.fromString(text);
        } catch (IllegalArgumentException e) {
            throw new Problem.Missing(what);
        }
    }
}
