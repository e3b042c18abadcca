package airway.registry.encounter;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.stereotype.Controller;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.view.RedirectView;

/** Keeps what is typed while it is typed, and throws away what nobody wants. */
@Needs({Right.RECORD, Right.AMEND_ANY})
@Controller
@ConditionalOnWebApplication
class DraftPages {
    private final Drafts drafts;
    private final Sites sites;
    private final NumberBox numberBox;

    DraftPages(Drafts drafts, Sites sites, NumberBox numberBox) {
        this.drafts = drafts;
        this.sites = sites;
        this.numberBox = numberBox;
    }

    /** Keeps the form as it is now; answers the revision that it became. */
    @PostMapping(path = "/record/draft", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ResponseEntity<String> keep(@RequestParam MultiValueMap<String, String> fields) {
        return ResponseEntity.ok().contentType(MediaType.TEXT_PLAIN).body(String.valueOf(keep(new Typed(fields))));
    }

    int keep(Typed typed) {
        String revision = typed.one("revision");
        Site site = sites.named(typed.one("site_id"));
        return drafts.keep(
                site,
                key(typed),
                revision != null && revision.matches("\\d{1,8}") ? Integer.parseInt(revision) : 0,
                uuid(typed.one("writer"), "writer"),
                numberBox.uncovered(site, typed).answersOnly());
    }

    /** The key of the filling-in, under which its draft is kept. */
    UUID key(Typed typed) {
        return uuid(typed.one("key"), "key");
    }

    @PostMapping("/drafts/{id}/discard")
    RedirectView discard(
            @PathVariable String id, @RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        drafts.discard(sites.named(siteId), Key.of(id, "record"));
        return home(siteId);
    }

    static RedirectView home(@Nullable String siteId) {
        RedirectView home = new RedirectView("/");
        if (siteId != null) {
            home.addStaticAttribute("site_id", siteId);
        }
        home.setStatusCode(HttpStatus.SEE_OTHER);
        return home;
    }

    private static UUID uuid(@Nullable String text, String field) {
        try {
            return UUID.fromString(String.valueOf(text));
        } catch (IllegalArgumentException e) {
            throw new Problem.Malformed(Fault.parameter(field, "form", "Send the UUID that the page was given."));
        }
    }
}
