package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.util.UriComponentsBuilder;

/** Kinds of items, each with what its maker says about reprocessing: the list, a new one, putting one right. */
@Needs(Right.KEEP_KIT)
@Controller
class KindPages {
    private static final List<String> PARTS = List.of("title", "profile", "instructions", "cycle_limit", "least_ready");
    private static final List<String> WHOLE = List.of("cycle_limit", "least_ready");

    private final Kit kit;
    private final Sites sites;

    KindPages(Kit kit, Sites sites) {
        this.kit = kit;
        this.sites = sites;
    }

    /** A kind in the list. */
    public record Line(UUID id, String title, String words) {}

    @GetMapping("/kit/kinds")
    ModelAndView list(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return list(sites.named(siteId), Map.of(), Map.of(), HttpStatus.OK);
    }

    private ModelAndView list(Site site, Map<String, String> typed, Map<String, String> told, HttpStatus status) {
        return new ModelAndView("kit/kinds", status)
                .addObject("unitCode", site.code())
                .addObject("profiles", List.of(Kind.Profile.values()))
                .addObject(
                        "lines", kit.kinds(site).stream().map(KindPages::line).toList())
                .addObject("typed", typed)
                .addObject("told", told);
    }

    private static Line line(Kind kind) {
        return new Line(
                kind.id(),
                kind.title(),
                kind.singleUse()
                        ? "Single use, counted by lot"
                                + (kind.leastReady() == null ? "" : "; " + kind.leastReady() + " should be in stock")
                        : (kind.wiped() ? "Wiped between patients. " : "")
                                + (kind.instructions() == null
                                        ? "No instructions entered: nothing of it is released"
                                        : "Instructions: " + kind.instructions())
                                + (kind.cycleLimit() == null
                                        ? "; no limit entered"
                                        : "; at most " + kind.cycleLimit() + " cycles")
                                + (kind.leastReady() == null ? "" : "; " + kind.leastReady() + " should be ready"));
    }

    @PostMapping(path = "/kit/kinds", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView add(@RequestParam MultiValueMap<String, String> typed) {
        Site site = sites.named(typed.getFirst("site_id"));
        try {
            kit.addKind(ItemPages.body(typed.toSingleValueMap(), PARTS, WHOLE).put("site_id", site.code()));
        } catch (Problem.Invalid | Problem.Conflict e) {
            return list(site, typed.toSingleValueMap(), ItemPages.told(e, ""), ItemPages.status(e));
        }
        return ItemPages.seeOther(UriComponentsBuilder.fromPath("/kit/kinds")
                .queryParam("site_id", site.code())
                .encode()
                .build()
                .toUriString());
    }

    @GetMapping("/kit/kinds/{id}")
    ModelAndView kind(@PathVariable String id) {
        Kind kind = kit.kind(Key.of(id, "kind"));
        return kind(kind, filledIn(kind), Map.of(), "", HttpStatus.OK);
    }

    private ModelAndView kind(
            Kind kind, Map<String, String> typed, Map<String, String> told, String stale, HttpStatus status) {
        return new ModelAndView("kit/kind", status)
                .addObject("unitCode", kind.site().code())
                .addObject("id", kind.id())
                .addObject("title", kind.title())
                .addObject("profiles", List.of(kind.profile()))
                .addObject("now", line(kind).words())
                .addObject("seen", kind.version())
                .addObject("typed", typed)
                .addObject("told", told)
                .addObject("stale", stale);
    }

    private static Map<String, String> filledIn(Kind kind) {
        Map<String, String> filled = new HashMap<>();
        filled.put("title", kind.title());
        filled.put("profile", kind.profile().code());
        put(filled, "instructions", kind.instructions());
        put(filled, "cycle_limit", kind.cycleLimit());
        put(filled, "least_ready", kind.leastReady());
        return filled;
    }

    private static void put(Map<String, String> filled, String name, @Nullable Object value) {
        if (value != null) {
            filled.put(name, value.toString());
        }
    }

    @PostMapping(path = "/kit/kinds/{id}", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView amend(@PathVariable String id, @RequestParam MultiValueMap<String, String> sent) {
        UUID kind = Key.of(id, "kind");
        Map<String, String> typed = sent.toSingleValueMap();
        String seen = typed.getOrDefault("seen", "");
        try {
            kit.amendKind(
                    kind, seen.matches("\\d{1,9}") ? Integer.parseInt(seen) : 0, ItemPages.body(typed, PARTS, WHOLE));
            return ItemPages.seeOther("/kit/kinds/" + kind);
        } catch (Problem.Stale e) {
            return kind(
                    kit.kind(kind),
                    typed,
                    Map.of(),
                    "Somebody else has put it right meanwhile. What you typed stands below; what counts now stands above it.",
                    HttpStatus.CONFLICT);
        } catch (Problem.Invalid | Problem.Conflict e) {
            return kind(kit.kind(kind), typed, ItemPages.told(e, ""), "", ItemPages.status(e));
        }
    }
}
