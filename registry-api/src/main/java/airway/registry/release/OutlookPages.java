package airway.registry.release;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.stats.disclosure.Generalisation.Loss;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.springframework.stereotype.Controller;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;

/** Research data as a page: which answers one would like, and whether a child could be recognised by them. */
@Needs(Right.ASK_RESEARCH)
@Controller
class OutlookPages {
    private static final Map<String, String> SEVERE =
            Map.of("yes", "with a severe event", "no", "without one or where that is not known");

    private final Outlooks outlooks;
    private final Sites sites;

    OutlookPages(Outlooks outlooks, Sites sites) {
        this.outlooks = outlooks;
        this.sites = sites;
    }

    /** Something to choose. */
    public record Option(String value, String label, boolean chosen) {}

    /** What would be done with a variable. */
    public record Coarse(String title, String how) {}

    @GetMapping("/research")
    ModelAndView research(@RequestParam MultiValueMap<String, String> asked) {
        Site site = sites.named(asked.getFirst("site_id"));
        List<String> chosen = asked.getOrDefault("variables", List.of());
        ModelAndView page = new ModelAndView("release/research")
                .addObject("unitCode", site.code())
                .addObject("site", site)
                .addObject(
                        "variables",
                        Arrays.stream(KnownVariable.values())
                                .map(one -> new Option(one.variable(), one.title(), chosen.contains(one.variable())))
                                .toList())
                .addObject(
                        "profiles",
                        Arrays.stream(Profile.values())
                                .map(one -> new Option(
                                        one.code(), one.title(), one.code().equals(TableForm.first(asked, "profile"))))
                                .toList())
                .addObject("from", TableForm.first(asked, "from"))
                .addObject("to", TableForm.first(asked, "to"));
        if (asked.containsKey("profile")) {
            try {
                asked.set("site_id", site.code());
                show(outlooks.of(asked), page);
            } catch (Problem.Malformed e) {
                page.addObject("faults", e.faults().stream().map(Fault::mend).toList());
            } catch (Problem.NeverLeaves e) {
                page.addObject("faults", List.of(e.detail()));
            }
        }
        return page;
    }

    private static void show(Outlook outlook, ModelAndView page) {
        int k = outlook.profile().k();
        page.addObject(
                        "matching",
                        "About " + OutlookJson.rounded(outlook.matching()) + " intubations match. About "
                                + OutlookJson.rounded(outlook.notAllowed())
                                + " of them stay here: the family objected, or nobody wrote down that they were asked. About "
                                + OutlookJson.rounded(outlook.rows()) + " of about "
                                + OutlookJson.rounded(outlook.patients()) + " children may leave.")
                .addObject(
                        "standingOut",
                        "With every answer as fine as it could be told, about "
                                + OutlookJson.rounded(outlook.standingOut())
                                + " of these children share their answers with"
                                + " fewer than " + (k - 1) + " others.")
                .addObject("k", k);
        Outlook.Plan plan = outlook.plan();
        if (plan == null) {
            page.addObject(
                    "refused",
                    "No package can be made of this: however coarse the answers, some child would stand out, or more than 5%"
                            + " of the rows would be left out. Choose a longer period, fewer answers or fewer filters.");
            return;
        }
        List<Coarse> coarse = new ArrayList<>();
        for (int i = 0; i < outlook.variables().size(); i++) {
            coarse.add(new Coarse(outlook.variables().get(i).title(), OutlookJson.toldAs(outlook, plan, i)));
        }
        page.addObject("coarse", coarse)
                .addObject("risks", risks(plan))
                .addObject(
                        "lost",
                        plan.removed() == 0
                                ? "No row would be left out."
                                : "About " + OutlookJson.rounded(plan.removed()) + " rows would be left out: "
                                        + plan.lost().entrySet().stream()
                                                .map(one -> "about "
                                                        + OutlookJson.rounded(
                                                                one.getValue().removed())
                                                        + " of "
                                                        + OutlookJson.rounded(
                                                                one.getValue().all()) + " "
                                                        + SEVERE.get(one.getKey()))
                                                .collect(Collectors.joining(", "))
                                        + ".")
                .addObject("biased", plan.lost().values().stream().anyMatch(Loss::overATenth));
    }

    /** The three risks in plain words. No population is known, so the second is taken to be as large as the first. */
    private static List<String> risks(Outlook.Plan plan) {
        return List.of(
                "Somebody who knows that a child is among the rows finds it with a chance of 1 in "
                        + plan.smallestGroup() + " at most, and of "
                        + percent(plan.risk().average()) + " on average.",
                "Somebody who does not know whether the child is among them has the same chance at most. How many like it"
                        + " there are outside is not known, so nothing is taken off.",
                "Somebody who tries with all children finds about "
                        + percent(plan.risk().average()) + " of them.");
    }

    private static String percent(double share) {
        return share < 0.001 ? "less than 0.1%" : Math.round(share * 1000) / 10.0 + "%";
    }
}
