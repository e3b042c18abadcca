package airway.registry.home;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.encounter.DeviceSetups;
import airway.registry.encounter.Encounters;
import airway.registry.encounter.OpenDrafts;
import airway.registry.reviews.Reviews;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Controller;
import org.springframework.ui.Model;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;

/** The front page: what waits to be finished, one thing to do, what there is to look at. */
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

    @GetMapping("/")
    String home(@RequestParam(name = "site_id", required = false) @Nullable String siteId, Model model) {
        Site site = sites.named(siteId);
        model.addAttribute("records", encounters.count(site));
        model.addAttribute("setups", setups.all(site).size());
        model.addAttribute("drafts", drafts.of(site));
        model.addAttribute("waiting", reviews.waiting(site));
        return "home/home";
    }
}
