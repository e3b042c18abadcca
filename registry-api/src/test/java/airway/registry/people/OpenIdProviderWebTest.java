package airway.registry.people;

import static org.assertj.core.api.Assertions.assertThat;

import airway.provider.OpenIdProvider;
import airway.registry.access.Role;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.http.HttpResponse;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.springframework.test.annotation.DirtiesContext;
import org.springframework.test.context.DynamicPropertyRegistry;
import org.springframework.test.context.DynamicPropertySource;

/** S19: signing in by a provider that others wrote, which runs in a process of its own. */
@DirtiesContext
class OpenIdProviderWebTest extends ServedRegistry {
    private static final OpenIdProvider PROVIDER = OpenIdProvider.start();

    @DynamicPropertySource
    static void provider(DynamicPropertyRegistry settings) {
        settings.add("airway.oidc.issuer", PROVIDER::issuer);
        settings.add("airway.oidc.client-id", () -> OpenIdProvider.CLIENT);
        settings.add("airway.oidc.client-secret", () -> OpenIdProvider.SECRET);
        settings.add("airway.oidc.name", () -> "the harbour sign-in");
    }

    @AfterAll
    static void stop() {
        PROVIDER.close();
    }

    private Visitor visitor() {
        return new Visitor(bare("/").build().uri());
    }

    /** Goes the way to the provider and gives a name and a password there. */
    private static HttpResponse<String> byProvider(Visitor visitor, String name, String password) {
        HttpResponse<String> there = visitor.get("/sign-in/with/provider");
        assertThat(there.uri().toString()).startsWith(PROVIDER.issuer() + "/login");
        return visitor.fill(there, "/login", "username", name, "password", password);
    }

    @Test
    void letsInWhoLinkedTheirAccountAndNobodyElse() {
        Tester person = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.RECORDER);
        Visitor linking = visitor();
        linking.signInByPassword(person);
        linking.fill(linking.get("/me"), "/me/provider");
        assertThat(byProvider(linking, "ash", OpenIdProvider.PASSWORD).uri().getPath())
                .isEqualTo("/me");

        Visitor later = visitor();
        assertThat(byProvider(later, "ash", OpenIdProvider.PASSWORD).uri().getPath())
                .isEqualTo("/");
        assertThat(later.get("/me").body()).contains(person.login());

        Visitor another = visitor();
        assertThat(byProvider(another, "birch", OpenIdProvider.PASSWORD).body()).contains("no account here is linked");
        assertThat(another.get("/me").uri().getPath()).isEqualTo("/sign-in");
    }

    @Test
    void letsNobodyInWhomTheProviderSendsAway() {
        Visitor visitor = visitor();
        assertThat(byProvider(visitor, "ash", "guessed").uri().toString()).startsWith(PROVIDER.issuer() + "/login");
        assertThat(visitor.get("/me").uri().getPath()).isEqualTo("/sign-in");
    }
}
