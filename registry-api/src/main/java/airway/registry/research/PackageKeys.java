package airway.registry.research;

import airway.registry.keys.Keys;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.ObjectProvider;
import org.springframework.stereotype.Component;

/**
 * The key of each package, for the pseudonyms in it. It is made of the key of the registry and of the request, and kept nowhere:
 * so the same request gives the same pseudonyms, and no other one does.
 */
@Component
class PackageKeys {
    private static final String PURPOSE = "research package";

    private final ObjectProvider<Keys> keys;

    PackageKeys(ObjectProvider<Keys> keys) {
        this.keys = keys;
    }

    /** The pseudonyms of a request; null where its rows carry none. */
    @Nullable
    Pseudonyms of(UUID request, Choice choice) {
        return choice.pseudonymised()
                ? new Pseudonyms(keys.getObject().mac(PURPOSE, request.toString()), request.toString())
                : null;
    }
}
