package airway.registry.encounter;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.identity.Purpose;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.Instant;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.UUID;
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
@Needs(Right.RECORD)
@Controller
@ConditionalOnWebApplication
class EncounterPages {
    private static final DateTimeFormatter CLOCK = DateTimeFormatter.ofPattern("HH:mm", Locale.UK);
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("EEEE d MMMM yyyy", Locale.UK);
    private static final String USED_BEFORE =
            "This form was saved before. What you changed since was not saved: begin a new record for another intubation.";

    private final Encounters encounters;
    private final DeviceSetups setups;
    private final Sites sites;
    private final Drafts drafts;
    private final DraftPages draftPages;
    private final NumberBox numberBox;
    private final Clock clock;

    EncounterPages(
            Encounters encounters,
            DeviceSetups setups,
            Sites sites,
            Drafts drafts,
            DraftPages draftPages,
            NumberBox numberBox,
            Clock clock) {
        this.encounters = encounters;
        this.setups = setups;
        this.sites = sites;
        this.drafts = drafts;
        this.draftPages = draftPages;
        this.numberBox = numberBox;
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
        UUID id = Key.of(draftId, "record");
        Draft draft = drafts.find(offered.site(), id).orElse(null);
        Typed kept = draft == null ? null : draft.typed();
        if (draft == null || kept == null) {
            return encounters
                    .savedUnder(new IdempotencyKey(id.toString()))
                    .map(EncounterPages::to)
                    .orElseThrow(() -> new Problem.Missing("draft any more"));
        }
        Typed typed = numberBox.covered(offered.site(), kept).with("revision", String.valueOf(draft.revision()));
        return page(typed, offered, HttpStatus.OK, List.of(), "");
    }

    private static ModelAndView to(UUID record) {
        RedirectView saved = new RedirectView("/records/" + record);
        saved.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(saved);
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
        Typed said = numberBox.uncovered(offered.site(), typed);
        RecordForm form = new RecordForm(said, offered, typed.opened(clock.instant()));
        if (form.goesOn()) {
            return page(typed.withAttempts("another"), offered, HttpStatus.OK, List.of(), "");
        }
        List<Questions.Told> told = form.faults(Circumstances.typed(clock.instant()));
        if (!told.isEmpty()) {
            return page(typed, offered, HttpStatus.UNPROCESSABLE_CONTENT, told, "");
        }
        try {
            ObjectNode body = form.body();
            IdempotencyKey key = IdempotencyKey.read(typed.one("key"));
            Recorded recorded = SecondTap.waitingFor(() -> encounters.record(body, key, numberBox.beside(said)));
            return to(recorded.id());
        } catch (Problem.Invalid e) {
            return SecondTap.usedBefore(e)
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

    @Needs(Right.READ_RECORDS)
    @GetMapping("/records/{id}")
    ModelAndView saved(@PathVariable String id) {
        return saved(encounters.read(Key.of(id, "record")), false);
    }

    /** A version as it was. */
    @Needs(Right.READ_RECORDS)
    @GetMapping("/records/{id}/versions/{version}")
    ModelAndView version(@PathVariable String id, @PathVariable String version) {
        if (!version.matches("[1-9]\\d{0,8}")) {
            throw new Problem.Missing("version");
        }
        Recorded now = encounters.read(Key.of(id, "record"));
        Recorded then = encounters.read(now.id(), Integer.parseInt(version));
        return saved(then, then.version() < now.version());
    }

    private ModelAndView saved(Recorded recorded, boolean earlier) {
        ZonedDateTime at = recorded.recordedAt().atZone(recorded.site().zone());
        return new ModelAndView("encounter/saved")
                .addObject("unitCode", recorded.site().code())
                .addObject("id", recorded.id())
                .addObject("version", recorded.version())
                .addObject("earlier", earlier)
                .addObject("mayPutRight", !earlier && encounters.mayPutRight(recorded))
                .addObject("withdrawn", recorded.status().equals("entered-in-error"))
                .addObject("clock", CLOCK.format(at))
                .addObject("day", DAY.format(at))
                .addObject("numberKept", numberBox.kept(recorded))
                .addObject("lookReasons", Purpose.Code.TO_LOOK)
                .addObject("facts", WorkedOut.of(recorded))
                .addObject("open", OpenQuestions.of(recorded))
                .addObject("note", ProcedureNote.of(recorded));
    }

    private Offered offered(@Nullable String siteId) {
        Site site = sites.named(siteId);
        return new Offered(site, sites.actor(), setups.all(site), encounters.earlierUses(site), false);
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
                .addObject("numberEnding", numberBox.ending(offered.site(), typed))
                .addObject("page", new RecordPage(typed, offered, start, told, note, folded, null));
    }
}
