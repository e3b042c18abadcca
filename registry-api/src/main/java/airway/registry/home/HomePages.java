package airway.registry.home;

import airway.registry.access.Needs;
import airway.registry.access.Person;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.encounter.DeviceSetups;
import airway.registry.encounter.Encounters;
import airway.registry.encounter.OpenDrafts;
import airway.registry.reviews.Reviews;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Controller;
import org.springframework.ui.Model;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestAttribute;
import org.springframework.web.bind.annotation.RequestParam;

/** The front page: what waits to be finished, one thing to do, what there is to look at. */
@Needs({})
@Controller
@ConditionalOnWebApplication
class HomePages {
    private final Sites sites;
    private final Encounters encounters;
    private final DeviceSetups setups;
    private final OpenDrafts drafts;
    private final Reviews reviews;

    HomePages(Sites sites, Encounters encounters, DeviceSetups setups, OpenDrafts drafts, Reviews reviews) {
        this.sites = sites;
        this.encounters = encounters;
        this.setups = setups;
        this.drafts = drafts;
        this.reviews = reviews;
    }

    /** What waits for the one who is signed in; who reads no records finds the pages of their role in its place. */
    @GetMapping("/")
    String home(
            @RequestParam(name = "site_id", required = false) @Nullable String siteId,
            @RequestAttribute(Person.SIGNED_IN) Person person,
            Model model) {
        if (!person.may(Right.READ_RECORDS)) {
            model.addAttribute("person", person);
            return "home/beside";
        }
        Site site = sites.named(siteId);
        model.addAttribute("records", encounters.count(site));
        model.addAttribute("setups", setups.all(site).size());
        model.addAttribute("drafts", person.may(Right.RECORD) ? drafts.of(site) : List.of());
        model.addAttribute("waiting", person.may(Right.IMPROVE) ? reviews.waiting(site) : 0);
        return "home/home";
    }
}
