package airway.registry.people;

import airway.registry.access.Needs;
import airway.registry.access.Person;
import airway.registry.access.PublicAddress;
import airway.registry.access.SignIn;
import airway.registry.problem.Problem;
import airway.registry.web.DoorPart;
import airway.sql.CannotStart;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import jakarta.servlet.http.HttpSession;
import java.io.IOException;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.boot.autoconfigure.condition.ConditionalOnProperty;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.security.config.annotation.web.builders.HttpSecurity;
import org.springframework.security.core.Authentication;
import org.springframework.security.core.AuthenticationException;
import org.springframework.security.core.context.SecurityContextHolder;
import org.springframework.security.oauth2.client.OAuth2AuthorizedClient;
import org.springframework.security.oauth2.client.registration.ClientRegistrations;
import org.springframework.security.oauth2.client.registration.InMemoryClientRegistrationRepository;
import org.springframework.security.oauth2.client.registration.SupplierClientRegistrationRepository;
import org.springframework.security.oauth2.client.web.OAuth2AuthorizedClientRepository;
import org.springframework.security.oauth2.core.oidc.user.OidcUser;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestAttribute;
import org.springframework.web.servlet.ModelAndView;

/**
 * Signing in by the hospital's provider (OpenID Connect, authorization code). A person is known by issuer and subject,
 * which they linked themselves while signed in; never by an e-mail address, which a provider may hand on to somebody else.
 */
@Controller
@ConditionalOnWebApplication
@ConditionalOnProperty("airway.oidc.issuer")
class ProviderPages implements DoorPart {
    private static final Logger LOG = LoggerFactory.getLogger(ProviderPages.class);
    private static final String ID = "provider";
    private static final String LINKING = "linking";
    private static final Map<String, String> WORDS = Map.of(
            "not-linked",
            "The provider knows you, but no account here is linked with it. Sign in with your password once, and link it"
                    + " under Your account.",
            "not-proved",
            "The provider did not prove who you are. Try again; if it stays so, tell whoever runs the register.");

    private final Provider provider;
    private final SignIn signIn;
    private final SessionPages sessions;
    private final SupplierClientRegistrationRepository registrations;

    ProviderPages(Provider provider, SignIn signIn, SessionPages sessions, PublicAddress address) {
        if (provider.clientId() == null || provider.clientSecret() == null) {
            throw new CannotStart("airway.oidc.issuer needs airway.oidc.client-id and airway.oidc.client-secret.");
        }
        this.provider = provider;
        this.signIn = signIn;
        this.sessions = sessions;
        String back = address.base().orElse("{baseUrl}") + "/sign-in/from/{registrationId}";
        // Asked at the first sign-in and not at the start: the register serves while the provider is away.
        this.registrations = new SupplierClientRegistrationRepository(() -> new InMemoryClientRegistrationRepository(
                ClientRegistrations.fromIssuerLocation(String.valueOf(provider.issuer()))
                        .registrationId(ID)
                        .clientId(provider.clientId())
                        .clientSecret(provider.clientSecret())
                        .scope("openid")
                        .redirectUri(back)
                        .build()));
    }

    static String words(String told) {
        return WORDS.getOrDefault(told, "");
    }

    @Override
    public void add(HttpSecurity http) {
        http.oauth2Login(login -> login.clientRegistrationRepository(registrations)
                .authorizedClientRepository(new Forgetful())
                .loginPage("/sign-in")
                .authorizationEndpoint(endpoint -> endpoint.baseUri("/sign-in/with"))
                .redirectionEndpoint(endpoint -> endpoint.baseUri("/sign-in/from/*"))
                .successHandler(this::proved)
                .failureHandler(ProviderPages::notProved));
    }

    /** Remembers who is signed in, and shows the way to the provider. */
    @Needs({})
    @PostMapping("/me/provider")
    ModelAndView link(@RequestAttribute(Person.SIGNED_IN) Person person, HttpServletRequest request) {
        request.getSession().setAttribute(LINKING, person.actor());
        return new ModelAndView("people/link").addObject("provider", provider.title());
    }

    private void proved(HttpServletRequest request, HttpServletResponse response, Authentication authentication)
            throws IOException {
        OidcUser user = (OidcUser) Objects.requireNonNull(authentication.getPrincipal());
        String issuer = String.valueOf(user.getIdToken().getIssuer());
        String subject = user.getIdToken().getSubject();
        HttpSession session = request.getSession();
        Integer linking = (Integer) session.getAttribute(LINKING);
        session.removeAttribute(LINKING);
        if (linking != null) {
            try {
                signIn.link(linking, issuer, subject);
            } catch (Problem.Conflict e) {
                sessions.end(request);
                response.sendRedirect("/sign-in?told=not-proved");
                return;
            }
        }
        Optional<SignIn.Half> half = signIn.linked(issuer, subject);
        if (half.isEmpty()) {
            sessions.end(request);
            response.sendRedirect("/sign-in?told=not-linked");
        } else if (half.get().codeToCome() && linking == null && !provider.provesSecondFactor()) {
            SecurityContextHolder.clearContext();
            session.removeAttribute("SPRING_SECURITY_CONTEXT");
            response.sendRedirect(sessions.half(half.get().actor(), "/", request));
        } else {
            sessions.begin(half.get().actor(), request, response);
            response.sendRedirect(linking == null ? "/" : "/me");
        }
    }

    private static void notProved(HttpServletRequest request, HttpServletResponse response, AuthenticationException why)
            throws IOException {
        LOG.warn("a sign-in by the provider was not proved: {}", why.getClass().getSimpleName());
        response.sendRedirect("/sign-in?told=not-proved");
    }

    /** The provider's tokens are needed for nothing after the sign-in, so they are kept nowhere. */
    private static final class Forgetful implements OAuth2AuthorizedClientRepository {
        @Override
        @SuppressWarnings({"NullAway", "TypeParameterUnusedInFormals"
        }) // So the interface has it, and says none by null.
        public <T extends OAuth2AuthorizedClient> @Nullable T loadAuthorizedClient(
                String registration, Authentication principal, HttpServletRequest request) {
            return null;
        }

        @Override
        public void saveAuthorizedClient(
                OAuth2AuthorizedClient client,
                Authentication principal,
                HttpServletRequest request,
                HttpServletResponse response) {
            // Forgotten.
        }

        @Override
        public void removeAuthorizedClient(
                String registration,
                Authentication principal,
                HttpServletRequest request,
                HttpServletResponse response) {
            // There is none.
        }
    }
}
