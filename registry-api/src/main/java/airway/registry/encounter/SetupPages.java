package airway.registry.encounter;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** The device set-ups of a unit as a page: the list, and adding one. */
@Needs(Right.KEEP_SETUPS)
@Controller
@ConditionalOnWebApplication
class SetupPages {
    private static final JsonMapper JSON = new JsonMapper();

    private final DeviceSetups setups;
    private final Sites sites;

    SetupPages(DeviceSetups setups, Sites sites) {
        this.setups = setups;
        this.sites = sites;
    }

    /** A set-up in words. */
    public record Line(String title, String id, String words) {}

    @GetMapping("/setups")
    ModelAndView list(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return page(sites.named(siteId), HttpStatus.OK, Map.of(), Map.of());
    }

    private ModelAndView page(Site site, HttpStatus status, Map<String, String> typed, Map<String, String> told) {
        return new ModelAndView("encounter/setups", status)
                .addObject("unitCode", site.code())
                .addObject("site", site)
                .addObject(
                        "lines", setups.all(site).stream().map(SetupPages::line).toList())
                .addObject("variables", variables())
                .addObject("typed", typed)
                .addObject("told", told);
    }

    private static List<Variable> variables() {
        return Dictionary.current().variables(Level.DEVICE_SETUP).stream()
                .filter(Variable::coded)
                .toList();
    }

    private static Line line(DeviceSetup setup) {
        List<String> words = new ArrayList<>();
        for (Variable variable : variables()) {
            String value = setup.answers().text(variable.name());
            if (value != null) {
                words.add(variable.label(value));
            }
        }
        return new Line(setup.title(), setup.id(), String.join(", ", words));
    }

    @PostMapping(path = "/setups", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView add(@RequestParam MultiValueMap<String, String> typed) {
        Site site = sites.named(typed.getFirst("site_id"));
        ObjectNode body = JSON.createObjectNode().put("site_id", site.code());
        body.put("title", String.valueOf(typed.getFirst("title")));
        for (Variable variable : variables()) {
            String value = typed.getFirst(variable.name());
            if (value != null && !value.isBlank()) {
                body.put(variable.name(), value);
            }
        }
        try {
            setups.add(body);
        } catch (Problem.Invalid | Problem.Conflict e) {
            Map<String, String> told = new LinkedHashMap<>();
            for (Fault fault : e.faults()) {
                told.putIfAbsent(fault.path().substring(1), fault.mend());
            }
            return page(
                    site,
                    e instanceof Problem.Conflict ? HttpStatus.CONFLICT : HttpStatus.UNPROCESSABLE_CONTENT,
                    typed.toSingleValueMap(),
                    told);
        }
        RedirectView list = new RedirectView("/setups?site_id=" + site.code());
        list.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(list);
    }
}
