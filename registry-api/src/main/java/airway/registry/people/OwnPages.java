package airway.registry.people;

import airway.registry.access.Needs;
import airway.registry.access.Person;
import airway.registry.access.SignIn;
import airway.registry.problem.Problem;
import airway.registry.web.Dots;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpSession;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.session.FindByIndexNameSessionRepository;
import org.springframework.session.Session;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestAttribute;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;

/** One's own account: password, one-time codes, other browsers that are signed in. */
@Needs({})
@Controller
@ConditionalOnWebApplication
class OwnPages {
    private static final String SECRET = "secret";

    private final SignIn signIn;
    private final Provider provider;
    private final FindByIndexNameSessionRepository<? extends Session> sessions;

    OwnPages(SignIn signIn, FindByIndexNameSessionRepository<? extends Session> sessions, Provider provider) {
        this.signIn = signIn;
        this.provider = provider;
        this.sessions = sessions;
    }

    @GetMapping("/me")
    ModelAndView me(@RequestAttribute(Person.SIGNED_IN) Person person, HttpServletRequest request) {
        return me(person, request, HttpStatus.OK, Map.of());
    }

    private ModelAndView me(Person person, HttpServletRequest request, HttpStatus status, Map<String, String> told) {
        return new ModelAndView("people/me", status)
                .addObject("person", person)
                .addObject("login", signIn.login(person.actor()))
                .addObject("provider", provider.title())
                .addObject("others", others(person, request).size())
                .addObject("told", told);
    }

    private List<String> others(Person person, HttpServletRequest request) {
        HttpSession here = request.getSession(false);
        return sessions.findByPrincipalName(String.valueOf(person.actor())).keySet().stream()
                .filter(id -> here == null || !id.equals(here.getId()))
                .toList();
    }

    @PostMapping(path = "/me/password", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView password(
            @RequestAttribute(Person.SIGNED_IN) Person person,
            @RequestParam(defaultValue = "") String present,
            @RequestParam(defaultValue = "") String password,
            HttpServletRequest request) {
        try {
            signIn.changePassword(person.actor(), present, password, request.getRemoteAddr());
        } catch (Problem.Invalid e) {
            return me(person, request, HttpStatus.UNPROCESSABLE_CONTENT, Told.of(e));
        }
        others(person, request).forEach(sessions::deleteById);
        return SignInPages.seeOther("/me");
    }

    @PostMapping("/me/others")
    ModelAndView endOthers(@RequestAttribute(Person.SIGNED_IN) Person person, HttpServletRequest request) {
        others(person, request).forEach(sessions::deleteById);
        return SignInPages.seeOther("/me");
    }

    /** The secret stays in the session until a first code shows that the phone has it. */
    @GetMapping("/me/codes")
    ModelAndView codes(@RequestAttribute(Person.SIGNED_IN) Person person, HttpServletRequest request) {
        HttpSession session = request.getSession();
        byte[] secret = signIn.newSecret();
        session.setAttribute(SECRET, secret);
        return codes(person, secret, HttpStatus.OK, Map.of());
    }

    private ModelAndView codes(Person person, byte[] secret, HttpStatus status, Map<String, String> told) {
        return new ModelAndView("people/codes", status)
                .addObject("person", person)
                .addObject("picture", Dots.svg(signIn.dots(secret, person.actor()), "QR code with the secret below", 0))
                .addObject("typed", SignIn.typed(secret))
                .addObject("recovery", List.of())
                .addObject("told", told);
    }

    @PostMapping(path = "/me/codes", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView useCodes(
            @RequestAttribute(Person.SIGNED_IN) Person person,
            @RequestParam(defaultValue = "") String code,
            @RequestParam(defaultValue = "") String present,
            HttpServletRequest request) {
        byte @Nullable [] secret = (byte[]) request.getSession().getAttribute(SECRET);
        if (secret == null) {
            return SignInPages.seeOther("/me/codes");
        }
        byte[] known = Arrays.copyOf(secret, secret.length);
        try {
            if (person.secondFactor()
                    && signIn.password(signIn.login(person.actor()), present, request.getRemoteAddr())
                            .isEmpty()) {
                return codes(
                        person,
                        known,
                        HttpStatus.UNPROCESSABLE_CONTENT,
                        Map.of("present", "This is not your present password."));
            }
            List<String> recovery = signIn.useCodes(person.actor(), known, code);
            request.getSession().removeAttribute(SECRET);
            return codes(person, known, HttpStatus.OK, Map.of()).addObject("recovery", recovery);
        } catch (Problem.Invalid e) {
            return codes(person, known, HttpStatus.UNPROCESSABLE_CONTENT, Told.of(e));
        }
    }
}
