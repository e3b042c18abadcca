package airway.registry.people;

import airway.registry.access.Administration;
import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Role;
import airway.registry.problem.Problem;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;

/** People and what they may do: adding, inviting, roles, closing an account. */
@Needs(Right.ADMINISTER)
@Controller
@ConditionalOnWebApplication
class PeoplePages {
    private final Administration administration;

    PeoplePages(Administration administration) {
        this.administration = administration;
    }

    @GetMapping("/people")
    ModelAndView people() {
        return people(HttpStatus.OK, Map.of(), Map.of());
    }

    private ModelAndView people(HttpStatus status, Map<String, String> typed, Map<String, String> told) {
        return new ModelAndView("people/people", status)
                .addObject("people", administration.people())
                .addObject("roles", Role.values())
                .addObject("sites", administration.units())
                .addObject("typed", typed)
                .addObject("told", told);
    }

    @PostMapping(path = "/people", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView add(@RequestParam MultiValueMap<String, String> typed) {
        try {
            Administration.Added added = administration.add(
                    one(typed, "login"), one(typed, "title"), one(typed, "role"), typed.getFirst("unit"));
            return person(added.actor(), HttpStatus.OK, Map.of()).addObject("code", added.code());
        } catch (Problem.Invalid e) {
            return people(SignInPages.status(e), typed.toSingleValueMap(), Told.of(e));
        }
    }

    @GetMapping("/people/{actor}")
    ModelAndView person(@PathVariable int actor) {
        return person(actor, HttpStatus.OK, Map.of());
    }

    private ModelAndView person(int actor, HttpStatus status, Map<String, String> told) {
        return new ModelAndView("people/person", status)
                .addObject("one", administration.person(actor))
                .addObject("roles", Role.values())
                .addObject("sites", administration.units())
                .addObject("code", "")
                .addObject("told", told);
    }

    @PostMapping("/people/{actor}/invite")
    ModelAndView invite(@PathVariable int actor) {
        String code = administration.invite(actor);
        return person(actor, HttpStatus.OK, Map.of()).addObject("code", code);
    }

    @PostMapping(path = "/people/{actor}/roles", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView grant(
            @PathVariable int actor,
            @RequestParam(defaultValue = "") String role,
            @RequestParam(required = false) @Nullable String unit) {
        return done(actor, () -> administration.grant(actor, role, unit));
    }

    @PostMapping("/people/{actor}/roles/{grant}/end")
    ModelAndView end(@PathVariable int actor, @PathVariable int grant) {
        return done(actor, () -> administration.end(actor, grant));
    }

    @PostMapping("/people/{actor}/close")
    ModelAndView close(@PathVariable int actor) {
        return done(actor, () -> administration.open(actor, false));
    }

    @PostMapping("/people/{actor}/open")
    ModelAndView open(@PathVariable int actor) {
        return done(actor, () -> administration.open(actor, true));
    }

    @PostMapping("/people/{actor}/forget-codes")
    ModelAndView forgetCodes(@PathVariable int actor) {
        return done(actor, () -> administration.forgetCodes(actor));
    }

    private ModelAndView done(int actor, Runnable work) {
        try {
            work.run();
        } catch (Problem.Invalid | Problem.Conflict e) {
            return person(actor, SignInPages.status(e), Told.of(e));
        }
        return SignInPages.seeOther("/people/" + actor);
    }

    private static String one(MultiValueMap<String, String> typed, String name) {
        String value = typed.getFirst(name);
        return value == null ? "" : value;
    }
}
