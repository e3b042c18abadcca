package airway.registry.web;

import airway.registry.access.Needs;
import airway.registry.access.Open;
import airway.registry.access.People;
import airway.registry.access.Person;
import airway.registry.access.Right;
import airway.registry.access.SignInPolicy;
import airway.registry.access.SignedIn;
import airway.registry.database.Acting;
import airway.registry.problem.Problem;
import io.github.bucket4j.Bucket;
import jakarta.servlet.DispatcherType;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.lang.annotation.Annotation;
import java.time.Clock;
import java.time.Duration;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.core.annotation.AnnotatedElementUtils;
import org.springframework.http.HttpHeaders;
import org.springframework.security.core.Authentication;
import org.springframework.security.core.context.SecurityContextHolder;
import org.springframework.stereotype.Component;
import org.springframework.web.method.HandlerMethod;
import org.springframework.web.servlet.HandlerInterceptor;
import org.springframework.web.servlet.config.annotation.InterceptorRegistry;
import org.springframework.web.servlet.config.annotation.WebMvcConfigurer;

/**
 * The one place where it is decided who may do what: before a page or an answer is made it is asked what it {@link Needs},
 * and from then on the request sees the units in which the person has a role that allows just this.
 */
@Component
@ConditionalOnWebApplication
class Doorkeeper implements HandlerInterceptor, WebMvcConfigurer {
    private static final String BEARER = "Bearer ";

    private final People people;
    private final SignInPolicy policy;
    private final Clock clock;
    private final long perSecond;
    private final Map<Integer, Bucket> asked = new ConcurrentHashMap<>();

    Doorkeeper(
            People people,
            SignInPolicy policy,
            Clock clock,
            @Value("${airway.requests-per-second:200}") long perSecond) {
        this.people = people;
        this.policy = policy;
        this.clock = clock;
        this.perSecond = perSecond;
    }

    @Override
    public void addInterceptors(InterceptorRegistry registry) {
        registry.addInterceptor(this);
    }

    @Override
    public boolean preHandle(HttpServletRequest request, HttpServletResponse response, Object handler)
            throws IOException {
        if (request.getDispatcherType() != DispatcherType.REQUEST) {
            return true;
        }
        boolean file = request.getRequestURI().startsWith("/static/");
        Optional<Person> known = file ? Optional.empty() : of(request);
        known.ifPresent(person -> request.setAttribute(Person.SIGNED_IN, person));
        if (!(handler instanceof HandlerMethod method)) {
            return true;
        }
        if (says(method, Open.class).isPresent() && !method.hasMethodAnnotation(Needs.class)) {
            known.ifPresent(person -> Acting.begin(person.scope()));
            return true;
        }
        Needs needs = says(method, Needs.class).orElseThrow(() -> new Problem.NotAllowed("This is open to nobody."));
        Person person = known.orElseThrow(Problem.SignedOut::new);
        Right[] rights = needs.value();
        if (!asked.computeIfAbsent(person.actor(), actor -> bucket()).tryConsume(1)) {
            throw new Problem.TooMany(1);
        }
        if (rights.length > 0 && policy.codesMissing(person)) {
            response.sendRedirect("/me/codes");
            return false;
        }
        if (!person.may(rights)) {
            throw new Problem.NotAllowed(
                    "This needs a role that you do not have. Ask whoever administers the register if you should.");
        }
        Acting.begin(person.scope(rights));
        return true;
    }

    @Override
    public void afterCompletion(
            HttpServletRequest request, HttpServletResponse response, Object handler, @Nullable Exception failure) {
        Acting.end();
    }

    /** Who sent the request, also where no page was found for it; none for requests of nobody known. */
    Optional<Person> of(HttpServletRequest request) {
        return request.getAttribute(Person.SIGNED_IN) instanceof Person person ? Optional.of(person) : who(request);
    }

    /** What a route says about who may: itself, or else for all of its class. */
    private static <A extends Annotation> Optional<A> says(HandlerMethod method, Class<A> what) {
        A own = AnnotatedElementUtils.findMergedAnnotation(method.getMethod(), what);
        return Optional.ofNullable(
                own == null ? AnnotatedElementUtils.findMergedAnnotation(method.getBeanType(), what) : own);
    }

    /** A program sends its token, to the API alone; a person has a session. */
    private Optional<Person> who(HttpServletRequest request) {
        String header = request.getHeader(HttpHeaders.AUTHORIZATION);
        if (header != null) {
            return request.getRequestURI().startsWith("/api/") && header.startsWith(BEARER)
                    ? people.token(header.substring(BEARER.length()).strip())
                    : Optional.empty();
        }
        Authentication authentication = SecurityContextHolder.getContext().getAuthentication();
        return authentication != null
                        && authentication.getPrincipal() instanceof SignedIn signedIn
                        && signedIn.since().plus(SignInPolicy.LONGEST).isAfter(clock.instant())
                ? people.signedIn(signedIn.actor())
                : Optional.empty();
    }

    private Bucket bucket() {
        return Bucket.builder()
                .addLimit(limit -> limit.capacity(perSecond * 2).refillGreedy(perSecond, Duration.ofSeconds(1)))
                .build();
    }
}
