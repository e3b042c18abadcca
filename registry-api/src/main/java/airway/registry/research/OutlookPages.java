package airway.registry.research;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.cohort.Stratum;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;

/** Research data as a page: which answers one would like, whether a child could be recognised by them, and asking for them. */
@Needs(Right.ASK_RESEARCH)
@Controller
class OutlookPages {
    /** Groups that a purpose may be about, on the page; the API takes any coded variable. */
    private static final List<Stratum> GROUPS = List.of(
            Stratum.AGE_BAND,
            Stratum.LIMITED_MOUTH_OPENING,
            Stratum.DIFFICULT_AIRWAY_HISTORY,
            Stratum.CYANOTIC_HEART_DISEASE,
            Stratum.DEVICE_MODE,
            Stratum.URGENCY);

    private final Outlooks outlooks;
    private final Requests requests;
    private final Sites sites;

    OutlookPages(Outlooks outlooks, Requests requests, Sites sites) {
        this.outlooks = outlooks;
        this.requests = requests;
        this.sites = sites;
    }

    /** Something to choose. */
    public record Option(String value, String label, boolean chosen) {}

    @GetMapping("/research")
    ModelAndView research(@RequestParam MultiValueMap<String, String> asked) {
        return page(asked, HttpStatus.OK);
    }

    @PostMapping(path = "/research", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView ask(@RequestParam MultiValueMap<String, String> asked) {
        try {
            RedirectView there =
                    new RedirectView("/research/requests/" + requests.ask(asked).id());
            there.setStatusCode(HttpStatus.SEE_OTHER);
            return new ModelAndView(there);
        } catch (Problem.ApprovalMissing | Problem.ApprovalExpired | Problem.Invalid | Problem.Malformed e) {
            Map<String, String> told = new LinkedHashMap<>();
            for (Fault fault : e.faults()) {
                if (fault.place() == Fault.Place.POINTER) {
                    told.put(fault.path().substring(1), fault.mend());
                }
            }
            return page(asked, HttpStatus.UNPROCESSABLE_CONTENT).addObject("told", told);
        } catch (Problem.NeverLeaves | Problem.Recognisable | Problem.TooClose e) {
            return page(asked, HttpStatus.UNPROCESSABLE_CONTENT);
        }
    }

    private ModelAndView page(MultiValueMap<String, String> asked, HttpStatus status) {
        Site site = sites.named(asked.getFirst("site_id"));
        List<String> chosen = asked.getOrDefault("variables", List.of()).stream()
                .flatMap(names -> Arrays.stream(names.split(",", -1)))
                .toList();
        Map<String, String> typed = new LinkedHashMap<>();
        for (String name :
                List.of("from", "to", "about", "purpose", "recipient", "approval_reference", "approval_expires")) {
            typed.put(name, OutlookForm.first(asked, name));
        }
        String profile = asked.containsKey("profile") ? OutlookForm.first(asked, "profile") : Profile.CONTROLLED.code();
        ModelAndView page = new ModelAndView("research/outlook", status)
                .addObject("unitCode", site.code())
                .addObject("site", site)
                .addObject(
                        "variables",
                        Arrays.stream(KnownVariable.values())
                                .map(one -> new Option(one.variable(), one.title(), chosen.contains(one.variable())))
                                .toList())
                .addObject(
                        "answers",
                        Arrays.stream(Answer.values())
                                .map(one -> new Option(one.variable(), one.title(), chosen.contains(one.variable())))
                                .toList())
                .addObject(
                        "profiles",
                        Arrays.stream(Profile.values())
                                .map(one -> new Option(
                                        one.code(), one.title(), one.code().equals(profile)))
                                .toList())
                .addObject("groups", groups(OutlookForm.first(asked, "about")))
                .addObject("profile", profile)
                .addObject("safeHarbor", OutlookForm.first(asked, "safe_harbor").equals("true"))
                .addObject("typed", typed)
                .addObject("told", Map.of());
        if (asked.containsKey("profile")) {
            MultiValueMap<String, String> looked = new LinkedMultiValueMap<>(asked);
            looked.set("site_id", site.code());
            RequestForm.OWN.forEach(looked::remove);
            look(looked, page);
        }
        return page;
    }

    private void look(MultiValueMap<String, String> asked, ModelAndView page) {
        try {
            Outlooks.Seen seen = outlooks.see(asked);
            page.addObject(
                    "panel", OutlookWords.of(seen.outlook(), seen.choice().about()));
        } catch (Problem.Malformed e) {
            page.addObject("faults", e.faults().stream().map(Fault::mend).toList());
        } catch (Problem.NeverLeaves e) {
            page.addObject("faults", List.of(e.detail()));
        }
    }

    private static List<Option> groups(String chosen) {
        List<Option> groups = new ArrayList<>();
        for (Stratum stratum : GROUPS) {
            stratum.codes().forEach(code -> {
                Group group = new Group(stratum, code.value());
                groups.add(new Option(
                        group.toString(), group.words(), group.toString().equals(chosen)));
            });
        }
        return groups;
    }
}
