package airway.registry.access;

import java.io.Serializable;
import java.security.Principal;
import java.time.Instant;

/**
 * What a session remembers of the one who signed in; everything else is asked of the database at each request, so that
 * what is taken away is gone at once.
 *
 * @param actor key of the actor
 * @param since when they signed in; the session ends eight hours later, used or not
 */
public record SignedIn(int actor, Instant since) implements Principal, Serializable {
    @Override
    public String getName() {
        return String.valueOf(actor);
    }
}
