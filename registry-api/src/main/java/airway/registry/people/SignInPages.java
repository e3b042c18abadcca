package airway.registry.people;

import airway.registry.access.DemoPeople;
import airway.registry.access.Needs;
import airway.registry.access.Open;
import airway.registry.access.SignIn;
import airway.registry.access.SignedIn;
import airway.registry.problem.Problem;
import airway.registry.web.SignInFirst;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.util.Map;
import java.util.Optional;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.security.core.annotation.AuthenticationPrincipal;
import org.springframework.security.web.csrf.CsrfToken;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;

/** Signing in: name and password, then the one-time code; signing in again over an open page; signing out. */
@Open
@Controller
@ConditionalOnWebApplication
class SignInPages {
    private static final String WRONG =
            "Name and password do not fit together, or the account is closed. Try again, or ask whoever administers the"
                    + " register for a new invitation.";

    private final SignIn signIn;
    private final SessionPages sessions;
    private final DemoPeople demo;
    private final Provider provider;

    SignInPages(SignIn signIn, SessionPages sessions, DemoPeople demo, Provider provider) {
        this.signIn = signIn;
        this.sessions = sessions;
        this.demo = demo;
        this.provider = provider;
    }

    @GetMapping("/sign-in")
    ModelAndView form(@RequestParam(defaultValue = "/") String to, @RequestParam(defaultValue = "") String told) {
        return form(SignInFirst.back(to), HttpStatus.OK, ProviderPages.words(told), "");
    }

    private ModelAndView form(String to, HttpStatus status, String told, String login) {
        return new ModelAndView("people/sign-in", status)
                .addObject("to", to)
                .addObject("told", told)
                .addObject("login", login)
                .addObject("provider", provider.title())
                .addObject("roles", demo.roles());
    }

    @PostMapping(path = "/sign-in", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView signIn(
            @RequestParam(defaultValue = "") String login,
            @RequestParam(defaultValue = "") String password,
            @RequestParam(defaultValue = "/") String to,
            HttpServletRequest request,
            HttpServletResponse response) {
        String back = SignInFirst.back(to);
        Optional<SignIn.Half> half;
        try {
            half = signIn.password(login, password, request.getRemoteAddr());
        } catch (Problem.TooMany e) {
            return wait(form(back, HttpStatus.TOO_MANY_REQUESTS, words(e), login), e, response);
        }
        if (half.isEmpty()) {
            return form(back, HttpStatus.UNAUTHORIZED, WRONG, login);
        } else if (half.get().codeToCome()) {
            return seeOther(sessions.half(half.get().actor(), back, request));
        }
        sessions.begin(half.get().actor(), request, response);
        return seeOther(back);
    }

    @GetMapping("/sign-in/code")
    ModelAndView code(HttpServletRequest request) {
        return sessions.waiting(request).isPresent() ? code(HttpStatus.OK, "") : seeOther("/sign-in");
    }

    private static ModelAndView code(HttpStatus status, String told) {
        return new ModelAndView("people/code", status).addObject("told", told);
    }

    @PostMapping(path = "/sign-in/code", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView code(
            @RequestParam(defaultValue = "") String code, HttpServletRequest request, HttpServletResponse response) {
        Optional<SessionPages.Waiting> waiting = sessions.waiting(request);
        if (waiting.isEmpty()) {
            return seeOther("/sign-in");
        }
        try {
            if (!signIn.code(waiting.get().actor(), code, request.getRemoteAddr())) {
                return code(
                        HttpStatus.UNAUTHORIZED,
                        "This code is not right, or was used already. Wait for the next one, or use a recovery code.");
            }
        } catch (Problem.TooMany e) {
            return wait(code(HttpStatus.TOO_MANY_REQUESTS, words(e)), e, response);
        }
        sessions.begin(waiting.get().actor(), request, response);
        return seeOther(waiting.get().to());
    }

    /**
     * Signing in over an open page: the answer is the secret for the forms of the new session, so that nothing typed is
     * lost. Who has one-time codes gives one at the same time.
     */
    @PostMapping(path = "/sign-in/again", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ResponseEntity<String> again(
            @RequestParam(defaultValue = "") String login,
            @RequestParam(defaultValue = "") String password,
            @RequestParam(defaultValue = "") String code,
            HttpServletRequest request,
            HttpServletResponse response) {
        Optional<SignIn.Half> half;
        try {
            half = signIn.password(login, password, request.getRemoteAddr());
            if (half.isEmpty()
                    || (half.get().codeToCome() && !signIn.code(half.get().actor(), code, request.getRemoteAddr()))) {
                return plain(HttpStatus.UNAUTHORIZED, "This is not right. Try again.");
            }
        } catch (Problem.TooMany e) {
            return plain(HttpStatus.TOO_MANY_REQUESTS, words(e));
        }
        sessions.begin(half.get().actor(), request, response);
        return plain(HttpStatus.OK, secret(request));
    }

    /** The secret for the forms of the session that there is now. */
    @GetMapping("/sign-in/again")
    ResponseEntity<String> secretOfForms(HttpServletRequest request) {
        return plain(HttpStatus.OK, secret(request));
    }

    private static String secret(HttpServletRequest request) {
        return ((CsrfToken) request.getAttribute(CsrfToken.class.getName())).getToken();
    }

    private static ResponseEntity<String> plain(HttpStatus status, String text) {
        return ResponseEntity.status(status).contentType(MediaType.TEXT_PLAIN).body(text);
    }

    /** In a demonstration anybody may be anybody: the people are as invented as the records. */
    @PostMapping("/sign-in/as")
    ModelAndView as(
            @RequestParam String role,
            @RequestParam(defaultValue = "/") String to,
            HttpServletRequest request,
            HttpServletResponse response) {
        int actor = demo.actor(role).orElseThrow(() -> new Problem.Missing("person"));
        sessions.begin(actor, request, response);
        return seeOther(SignInFirst.back(to));
    }

    @Needs({})
    @PostMapping("/sign-out")
    ModelAndView signOut(
            @AuthenticationPrincipal SignedIn signedIn, HttpServletRequest request, HttpServletResponse response) {
        signIn.out(signedIn.actor());
        sessions.end(request);
        response.setHeader("Clear-Site-Data", "\"cache\", \"storage\"");
        return seeOther("/sign-in");
    }

    private static String words(Problem.TooMany e) {
        return "Too many wrong tries. Wait " + e.seconds() + (e.seconds() == 1 ? " second" : " seconds")
                + ", then try again.";
    }

    private static ModelAndView wait(ModelAndView page, Problem.TooMany e, HttpServletResponse response) {
        response.setHeader("Retry-After", String.valueOf(e.seconds()));
        return page;
    }

    static HttpStatus status(Problem problem) {
        return problem instanceof Problem.Conflict ? HttpStatus.CONFLICT : HttpStatus.UNPROCESSABLE_CONTENT;
    }

    static ModelAndView seeOther(String path) {
        RedirectView view = new RedirectView(path, false);
        view.setExposeModelAttributes(false);
        view.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(view, Map.of());
    }
}
