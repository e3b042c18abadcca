package airway.registry.people;

import org.jspecify.annotations.Nullable;
import org.springframework.boot.context.properties.ConfigurationProperties;

/**
 * The hospital's own sign-in, by OpenID Connect; none without an issuer.
 *
 * @param issuer address of the provider, as its tokens name it
 * @param clientId name the provider knows the register by
 * @param clientSecret secret shared with the provider
 * @param name what the provider is called on the sign-in page
 * @param provesSecondFactor whether the provider asks for a second proof itself, so that the register does not
 */
@ConfigurationProperties("airway.oidc")
record Provider(
        @Nullable String issuer,
        @Nullable String clientId,
        @Nullable String clientSecret,
        @Nullable String name,
        boolean provesSecondFactor) {
    /** What it is called; empty when there is none. */
    String title() {
        return issuer == null ? "" : name == null ? "the hospital's sign-in" : name;
    }
}
