package airway.registry.home;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.encounter.DeviceSetups;
import airway.registry.encounter.Encounters;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Controller;
import org.springframework.ui.Model;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;

/** The front page: one thing to do, two to look at. */
@Controller
class HomePages {
    private final Sites sites;
    private final Encounters encounters;
    private final DeviceSetups setups;

    HomePages(Sites sites, Encounters encounters, DeviceSetups setups) {
        this.sites = sites;
        this.encounters = encounters;
        this.setups = setups;
    }

    @GetMapping("/")
    String home(@RequestParam(name = "site_id", required = false) @Nullable String siteId, Model model) {
        Site site = sites.named(siteId);
        model.addAttribute("records", encounters.count(site));
        model.addAttribute("setups", setups.all(site).size());
        return "home/home";
    }
}
