package airway.registry.people;

import airway.registry.access.Administration;
import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.problem.Problem;
import java.util.Map;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;

/** The units of the register. */
@Needs(Right.ADMINISTER)
@Controller
@ConditionalOnWebApplication
class UnitPages {
    private final Administration administration;

    UnitPages(Administration administration) {
        this.administration = administration;
    }

    @GetMapping("/units")
    ModelAndView units() {
        return units(HttpStatus.OK, Map.of(), Map.of());
    }

    private ModelAndView units(HttpStatus status, Map<String, String> typed, Map<String, String> told) {
        return new ModelAndView("people/units", status)
                .addObject("sites", administration.units())
                .addObject("kinds", Site.KINDS)
                .addObject("typed", typed)
                .addObject("told", told);
    }

    @PostMapping(path = "/units", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView add(
            @RequestParam(defaultValue = "") String code,
            @RequestParam(defaultValue = "") String title,
            @RequestParam(defaultValue = "") String kind,
            @RequestParam(defaultValue = "") String zone) {
        try {
            administration.addUnit(code, title, kind, zone);
        } catch (Problem.Invalid e) {
            return units(
                    SignInPages.status(e),
                    Map.of("code", code, "title", title, "kind", kind, "zone", zone),
                    Told.of(e));
        }
        return SignInPages.seeOther("/units");
    }
}
