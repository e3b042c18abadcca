package airway.registry.people;

import airway.registry.access.Administration;
import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Role;
import airway.registry.access.Tokens;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Duration;
import java.util.Map;
import java.util.UUID;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;

/** Tokens of other programs: made, shown once, taken back. */
@Needs(Right.ADMINISTER)
@Controller
@ConditionalOnWebApplication
class TokenPages {
    private final Tokens tokens;
    private final Administration administration;

    TokenPages(Tokens tokens, Administration administration) {
        this.tokens = tokens;
        this.administration = administration;
    }

    @GetMapping("/tokens")
    ModelAndView tokens() {
        return tokens(HttpStatus.OK, Map.of(), Map.of());
    }

    private ModelAndView tokens(HttpStatus status, Map<String, String> typed, Map<String, String> told) {
        return new ModelAndView("people/tokens", status)
                .addObject("tokens", tokens.all())
                .addObject("roles", Role.values())
                .addObject("sites", administration.units())
                .addObject("secret", "")
                .addObject("typed", typed)
                .addObject("told", told);
    }

    @PostMapping(path = "/tokens", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView make(
            @RequestParam(defaultValue = "") String title,
            @RequestParam(defaultValue = "") String role,
            @RequestParam(defaultValue = "") String site,
            @RequestParam(defaultValue = "") String days) {
        try {
            Role chosen = Role.of(role)
                    .orElseThrow(
                            () -> new Problem.Invalid(Fault.parameter("role", "unknown", "Choose what it may do.")));
            if (!days.matches("[1-9]\\d{0,2}") || Long.parseLong(days) > Tokens.LONGEST.toDays()) {
                throw new Problem.Invalid(
                        Fault.parameter("days", "form", "Say for how many days it serves, from 1 to 366."));
            }
            String secret = tokens.make(
                    title.strip(),
                    chosen,
                    site.isBlank() || chosen.besideUnits() ? null : site,
                    Duration.ofDays(Long.parseLong(days)));
            return tokens(HttpStatus.OK, Map.of(), Map.of()).addObject("secret", secret);
        } catch (Problem.Invalid e) {
            return tokens(
                    SignInPages.status(e),
                    Map.of("title", title, "role", role, "site", site, "days", days),
                    Told.of(e));
        }
    }

    @PostMapping("/tokens/{id}/revoke")
    ModelAndView revoke(@PathVariable UUID id) {
        tokens.revoke(id);
        return SignInPages.seeOther("/tokens");
    }
}
