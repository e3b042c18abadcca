package airway.registry.people;

import airway.registry.access.People;
import airway.registry.access.Person;
import airway.registry.access.SignIn;
import airway.registry.access.SignInPolicy;
import airway.registry.access.SignedIn;
import airway.registry.problem.Problem;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import jakarta.servlet.http.HttpSession;
import java.io.Serializable;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.boot.context.properties.EnableConfigurationProperties;
import org.springframework.security.authentication.UsernamePasswordAuthenticationToken;
import org.springframework.security.core.context.SecurityContext;
import org.springframework.security.core.context.SecurityContextHolder;
import org.springframework.security.web.authentication.session.SessionAuthenticationStrategy;
import org.springframework.security.web.context.SecurityContextRepository;
import org.springframework.stereotype.Component;

/** Begins and ends the session of a browser. */
@Component
@ConditionalOnWebApplication
@EnableConfigurationProperties(Provider.class)
class SessionPages {
    private static final String HALF = "half";
    private static final Duration CODE_WITHIN = Duration.ofMinutes(5);

    /** Name and password were right; the code is still to come. */
    record Waiting(int actor, Instant since, String to) implements Serializable {}

    private final SignIn signIn;
    private final People people;
    private final SecurityContextRepository contexts;
    private final SessionAuthenticationStrategy atSignIn;
    private final Clock clock;

    SessionPages(
            SignIn signIn,
            People people,
            SecurityContextRepository contexts,
            SessionAuthenticationStrategy atSignIn,
            Clock clock) {
        this.clock = clock;
        this.signIn = signIn;
        this.people = people;
        this.contexts = contexts;
        this.atSignIn = atSignIn;
    }

    /** Half is done: remembers whose code is to come, and tells where it is asked for. */
    String half(int actor, String to, HttpServletRequest request) {
        request.getSession().setAttribute(HALF, new Waiting(actor, clock.instant(), to));
        return "/sign-in/code";
    }

    /** Whose code is to come. */
    Optional<Waiting> waiting(HttpServletRequest request) {
        HttpSession session = request.getSession(false);
        return session != null
                        && session.getAttribute(HALF) instanceof Waiting waiting
                        && waiting.since().plus(CODE_WITHIN).isAfter(clock.instant())
                ? Optional.of(waiting)
                : Optional.empty();
    }

    /** The person is in: a session with a new name, which ends when it is not used. */
    void begin(int actor, HttpServletRequest request, HttpServletResponse response) {
        SignedIn signedIn = signIn.in(actor);
        Person person = people.signedIn(actor).orElseThrow(Problem.SignedOut::new);
        var authentication = UsernamePasswordAuthenticationToken.authenticated(signedIn, null, List.of());
        HttpSession session = request.getSession();
        session.removeAttribute(HALF);
        atSignIn.onAuthentication(authentication, request, response);
        SecurityContext context = SecurityContextHolder.createEmptyContext();
        context.setAuthentication(authentication);
        SecurityContextHolder.setContext(context);
        contexts.saveContext(context, request, response);
        session.setMaxInactiveInterval((int) SignInPolicy.idle(person).toSeconds());
    }

    /** Nobody is signed in with this browser any more. */
    void end(HttpServletRequest request) {
        HttpSession session = request.getSession(false);
        if (session != null) {
            session.invalidate();
        }
        SecurityContextHolder.clearContext();
    }
}
