package airway.registry.people;

import airway.registry.access.Open;
import airway.registry.access.SignIn;
import airway.registry.problem.Problem;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.util.Map;
import java.util.Optional;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;

/** Joining with a code: the code of the first start makes the first administrator, that of an invitation lets one choose a password. */
@Open
@Controller
@ConditionalOnWebApplication
class JoinPages {
    private static final String NO_SUCH_CODE =
            "This code does not serve, or not any more. Type it as it was given to you," + " or ask for a new one.";

    private final SignIn signIn;
    private final SessionPages sessions;

    JoinPages(SignIn signIn, SessionPages sessions) {
        this.signIn = signIn;
        this.sessions = sessions;
    }

    @GetMapping("/join")
    ModelAndView code() {
        return page(HttpStatus.OK, "", Optional.empty(), Map.of());
    }

    /** The code is checked; then a name and a password are asked for. */
    @PostMapping(path = "/join", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView code(@RequestParam(defaultValue = "") String code) {
        Optional<SignIn.Invited> invited = signIn.invited(code);
        return invited.isEmpty()
                ? page(HttpStatus.UNPROCESSABLE_CONTENT, code, invited, Map.of("code", NO_SUCH_CODE))
                : page(HttpStatus.OK, code, invited, Map.of());
    }

    @PostMapping(path = "/join/choose", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView choose(
            @RequestParam(defaultValue = "") String code,
            @RequestParam(defaultValue = "") String login,
            @RequestParam(defaultValue = "") String title,
            @RequestParam(defaultValue = "") String password,
            HttpServletRequest request,
            HttpServletResponse response) {
        int actor;
        try {
            actor = signIn.join(code, login, title, password);
        } catch (Problem.Invalid e) {
            return page(HttpStatus.UNPROCESSABLE_CONTENT, code, signIn.invited(code), Told.of(e))
                    .addObject("login", login)
                    .addObject("title", title);
        } catch (Problem.Conflict e) {
            return page(HttpStatus.CONFLICT, "", Optional.empty(), Map.of("code", NO_SUCH_CODE));
        }
        sessions.begin(actor, request, response);
        return SignInPages.seeOther("/");
    }

    private static ModelAndView page(
            HttpStatus status, String code, Optional<SignIn.Invited> invited, Map<String, String> told) {
        return new ModelAndView("people/join", status)
                .addObject("code", code)
                .addObject("invited", invited.orElse(null))
                .addObject("login", "")
                .addObject("title", "")
                .addObject("told", told);
    }
}
