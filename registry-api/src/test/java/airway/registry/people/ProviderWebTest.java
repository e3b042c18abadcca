package airway.registry.people;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.testing.OpenRegistry;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.http.HttpResponse;
import java.util.UUID;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.springframework.test.annotation.DirtiesContext;
import org.springframework.test.context.DynamicPropertyRegistry;
import org.springframework.test.context.DynamicPropertySource;

/** S19: signing in by the hospital's provider. */
@DirtiesContext
class ProviderWebTest extends ServedRegistry {
    private static final TrialProvider PROVIDER = new TrialProvider();

    @DynamicPropertySource
    static void provider(DynamicPropertyRegistry settings) {
        settings.add("airway.oidc.issuer", PROVIDER::issuer);
        settings.add("airway.oidc.client-id", () -> "register");
        settings.add("airway.oidc.client-secret", () -> "shared with the provider");
        settings.add("airway.oidc.name", () -> "the harbour sign-in");
    }

    @AfterAll
    static void stop() {
        PROVIDER.close();
    }

    private Tester linked(String subject) {
        Tester person = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.RECORDER);
        Visitor visitor = new Visitor(bare("/").build().uri());
        visitor.signInByPassword(person);
        HttpResponse<String> way = visitor.fill(visitor.get("/me"), "/me/provider");
        assertThat(way.body()).contains("href=\"/sign-in/with/provider\"", "the harbour sign-in");
        PROVIDER.next(subject, TrialProvider.Fault.NONE);
        assertThat(visitor.get("/sign-in/with/provider").uri().getPath()).isEqualTo("/me");
        return person;
    }

    @Test
    void letsInWhoLinkedTheirAccountAndNobodyElse() {
        String subject = UUID.randomUUID().toString();
        Tester person = linked(subject);
        PROVIDER.next(subject, TrialProvider.Fault.NONE);
        Visitor visitor = new Visitor(bare("/").build().uri());
        assertThat(visitor.get("/sign-in").body()).contains("Sign in by the harbour sign-in");
        assertThat(visitor.get("/sign-in/with/provider").uri().getPath()).isEqualTo("/");
        assertThat(visitor.get("/me").body()).contains(person.login());

        PROVIDER.next(UUID.randomUUID().toString(), TrialProvider.Fault.NONE);
        Visitor stranger = new Visitor(bare("/").build().uri());
        assertThat(stranger.get("/sign-in/with/provider").body())
                .as("the same e-mail address, another person")
                .contains("no account here is linked");
        assertThat(stranger.get("/me").uri().getPath()).isEqualTo("/sign-in");
    }

    @ParameterizedTest
    @EnumSource(value = TrialProvider.Fault.class, names = "NONE", mode = EnumSource.Mode.EXCLUDE)
    void letsNobodyInWhomTheProviderDidNotProve(TrialProvider.Fault fault) {
        String subject = UUID.randomUUID().toString();
        linked(subject);
        PROVIDER.next(subject, fault);
        Visitor visitor = new Visitor(bare("/").build().uri());
        assertThat(visitor.get("/sign-in/with/provider").body()).contains("did not prove who you are");
        assertThat(visitor.get("/me").uri().getPath()).isEqualTo("/sign-in");
    }

    @Test
    void linksNoAccountByATokenThatProvesNothingAndNoneTwice() {
        Tester person = Tester.fresh(LOGINS).with(strangeUnit().no(), Role.RECORDER);
        Visitor visitor = new Visitor(bare("/").build().uri());
        visitor.signInByPassword(person);
        visitor.fill(visitor.get("/me"), "/me/provider");
        PROVIDER.next("somebody", TrialProvider.Fault.NO_ALGORITHM);
        visitor.get("/sign-in/with/provider");
        String subject = UUID.randomUUID().toString();
        linked(subject);
        visitor.fill(visitor.get("/me"), "/me/provider");
        PROVIDER.next(subject, TrialProvider.Fault.NONE);
        visitor.get("/sign-in/with/provider");
        assertThat(OpenRegistry.rows(
                        LOGINS, "select subject is null from access.account where actor_id = " + person.actor()))
                .containsExactly("t");
    }

    /** The same name at another provider is another person. */
    @Test
    void knowsAPersonByProviderAndName() {
        String subject = UUID.randomUUID().toString();
        Tester person = linked(subject);
        OpenRegistry.rows(
                LOGINS,
                "update access.account set issuer = 'https://elsewhere.example' where actor_id = " + person.actor()
                        + " returning actor_id");
        PROVIDER.next(subject, TrialProvider.Fault.NONE);
        assertThat(new Visitor(bare("/").build().uri())
                        .get("/sign-in/with/provider")
                        .body())
                .contains("no account here is linked");
    }
}
