package airway.registry.encounter;

import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.Instant;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
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
import org.springframework.web.servlet.view.RedirectView;
import tools.jackson.databind.node.ObjectNode;

/** The page that makes a record, and the page that says what was made of it. */
@Controller
@ConditionalOnWebApplication
class EncounterPages {
    private static final DateTimeFormatter CLOCK = DateTimeFormatter.ofPattern("HH:mm", Locale.UK);
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("EEEE d MMMM yyyy", Locale.UK);
    private static final String USED_BEFORE =
            "This form was saved before. What you changed since was not saved: begin a new record for another intubation.";
    private static final int ASKED_AGAIN = 20;
    private static final int PAUSE_MS = 100;

    private final Encounters encounters;
    private final DeviceSetups setups;
    private final Sites sites;
    private final Drafts drafts;
    private final DraftPages draftPages;
    private final Clock clock;

    /** What was offered last, by unit: a form that cannot be saved now can still be shown with all that was typed. */
    private final Map<String, Offered> offeredLast = new ConcurrentHashMap<>();

    EncounterPages(
            Encounters encounters,
            DeviceSetups setups,
            Sites sites,
            Drafts drafts,
            DraftPages draftPages,
            Clock clock) {
        this.encounters = encounters;
        this.setups = setups;
        this.sites = sites;
        this.drafts = drafts;
        this.draftPages = draftPages;
        this.clock = clock;
    }

    @GetMapping("/record")
    ModelAndView blank(
            @RequestParam(name = "site_id", required = false) @Nullable String siteId,
            @RequestParam(name = "draft", required = false) @Nullable String draftId) {
        Offered offered = offered(siteId);
        if (draftId == null) {
            return page(Typed.blank(offered.site()), offered, HttpStatus.OK, List.of(), "");
        }
        Draft draft = drafts.find(offered.site(), EncounterApi.uuid(draftId))
                .orElseThrow(() -> new Problem.Missing("draft any more: it was saved, thrown away or has expired"));
        Typed typed = draft.typed().with("revision", String.valueOf(draft.revision()));
        return page(typed, offered, HttpStatus.OK, List.of(), "").addObject("resumed", draft.id());
    }

    @PostMapping(path = "/record", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView save(@RequestParam MultiValueMap<String, String> fields) {
        Typed typed = new Typed(fields);
        Offered offered = offered(typed.one("site_id"));
        if (typed.one("later") != null) {
            return later(typed, offered);
        }
        if (typed.one("attempt") != null) {
            return page(typed.withAttempts(typed.one("attempt")), offered, HttpStatus.OK, List.of(), "");
        }
        RecordForm form = new RecordForm(typed, offered, typed.opened(clock.instant()));
        if (form.goesOn()) {
            return page(typed.withAttempts("another"), offered, HttpStatus.OK, List.of(), "");
        }
        List<Questions.Told> told = form.faults(Circumstances.typed(clock.instant()));
        if (!told.isEmpty()) {
            return page(typed, offered, HttpStatus.UNPROCESSABLE_CONTENT, told, "");
        }
        if (offered.away()) {
            return away(typed, offered);
        }
        try {
            Recorded recorded = record(form.body(), IdempotencyKey.read(typed.one("key")));
            RedirectView saved = new RedirectView("/records/" + recorded.id());
            saved.setStatusCode(HttpStatus.SEE_OTHER);
            return new ModelAndView(saved);
        } catch (Problem.Invalid e) {
            return usedBefore(e)
                    ? page(typed, offered, HttpStatus.UNPROCESSABLE_CONTENT, List.of(), USED_BEFORE)
                    : page(typed, offered, HttpStatus.UNPROCESSABLE_CONTENT, form.told(e.faults()), "");
        } catch (Problem.Unavailable e) {
            return away(typed, offered.whileAway());
        }
    }

    /** "Go on later": what was typed is kept as a draft that anyone of the unit can go on with. */
    private ModelAndView later(Typed typed, Offered offered) {
        try {
            draftPages.keep(typed.begun(clock.instant()));
            return new ModelAndView(DraftPages.home(typed.one("site_id")));
        } catch (Problem.Conflict e) {
            return page(typed, offered, HttpStatus.CONFLICT, List.of(), e.detail());
        } catch (Problem.Unavailable e) {
            return away(typed, offered.whileAway());
        }
    }

    private ModelAndView away(Typed typed, Offered offered) {
        return page(
                typed,
                offered,
                HttpStatus.SERVICE_UNAVAILABLE,
                List.of(),
                "Nothing was saved yet: the register cannot reach its database. Everything you typed is still here."
                        + " Press \"Save record\" again in a moment.");
    }

    @GetMapping("/records/{id}")
    ModelAndView saved(@PathVariable String id) {
        Recorded recorded = encounters.read(EncounterApi.uuid(id));
        ZonedDateTime at = recorded.recordedAt().atZone(recorded.site().zone());
        return new ModelAndView("encounter/saved")
                .addObject("unitCode", recorded.site().code())
                .addObject("id", recorded.id())
                .addObject("withdrawn", recorded.status().equals("entered-in-error"))
                .addObject("clock", CLOCK.format(at))
                .addObject("day", DAY.format(at))
                .addObject("facts", WorkedOut.of(recorded))
                .addObject("open", OpenQuestions.of(recorded))
                .addObject("note", ProcedureNote.of(recorded));
    }

    /** A second tap comes while the first is still being kept: wait for it, then answer with the same record. */
    private Recorded record(ObjectNode body, IdempotencyKey key) {
        for (int asked = 1; ; asked++) {
            try {
                return encounters.record(body, key);
            } catch (Problem.Conflict e) {
                if (asked == ASKED_AGAIN) {
                    throw e;
                }
                try {
                    Thread.sleep(PAUSE_MS);
                } catch (InterruptedException stop) {
                    Thread.currentThread().interrupt();
                    throw e;
                }
            }
        }
    }

    private static boolean usedBefore(Problem.Invalid problem) {
        return problem.faults().stream().map(Fault::code).anyMatch("key.reused"::equals);
    }

    private Offered offered(@Nullable String siteId) {
        try {
            var site = sites.named(siteId);
            Offered offered = new Offered(site, sites.actor(), setups.all(site), encounters.earlierUses(site), false);
            offeredLast.put(site.code(), offered);
            return offered;
        } catch (Problem.Unavailable e) {
            Offered last = offeredLast.get(String.valueOf(siteId));
            if (last == null) {
                throw e;
            }
            return last.whileAway();
        }
    }

    private ModelAndView page(Typed so, Offered offered, HttpStatus status, List<Questions.Told> told, String note) {
        Typed typed = so.begun(clock.instant());
        Instant opened = typed.opened(clock.instant());
        List<String> folded = typed.attempts() == 1
                ? List.of()
                : InWords.attempts(
                        EncounterForm.sketch(new RecordForm(typed, offered, opened).body()), offered.setupsById());
        StartTime start = new StartTime(opened, offered.site().zone());
        return new ModelAndView("encounter/record", status)
                .addObject("unitCode", offered.site().code())
                .addObject("away", offered.away())
                .addObject("page", new RecordPage(typed, offered, start, told, note, folded, null));
    }
}
