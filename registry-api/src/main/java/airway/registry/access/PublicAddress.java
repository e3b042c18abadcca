package airway.registry.access;

import airway.sql.CannotStart;
import java.net.URI;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Component;

/**
 * The address by which browsers reach the register ({@code airway.public-url}). Without one it serves this machine alone.
 */
@Component
public class PublicAddress {
    private final @Nullable URI address;

    public PublicAddress(@Value("${airway.public-url:#{null}}") @Nullable String address) {
        this.address = address == null ? null : parsed(address);
    }

    private static URI parsed(String address) {
        try {
            URI uri = URI.create(address);
            if (uri.getHost() != null && ("https".equals(uri.getScheme()) || "http".equals(uri.getScheme()))) {
                return uri;
            }
        } catch (IllegalArgumentException e) {
            throw new CannotStart("airway.public-url is not an address, for example https://register.example.", e);
        }
        throw new CannotStart("airway.public-url is not an address, for example https://register.example.");
    }

    /** Whether browsers come by https. */
    public boolean secure() {
        return address != null && "https".equals(address.getScheme());
    }

    /** The address without a slash at its end; none when it was not named. */
    public Optional<String> base() {
        return Optional.ofNullable(address).map(uri -> uri.toString().replaceAll("/+$", ""));
    }

    /** Whether this is the name of the host in the address. */
    public boolean named(String host) {
        return address != null && host.equalsIgnoreCase(address.getHost());
    }
}
