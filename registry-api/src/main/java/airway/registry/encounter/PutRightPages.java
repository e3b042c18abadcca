package airway.registry.encounter;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.util.List;
import java.util.Map;
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

/** Putting a record right on the record page: the same questions, filled in, and a reason. */
@Needs({Right.AMEND_OWN, Right.AMEND_ANY})
@Controller
@ConditionalOnWebApplication
class PutRightPages {
    private static final String USED_BEFORE =
            "This form was saved before. What you changed since was not saved: open the record again to change more.";

    private final Encounters encounters;
    private final DeviceSetups setups;
    private final Sites sites;
    private final Drafts drafts;
    private final DraftPages draftPages;
    private final NumberBox numberBox;
    private final Clock clock;

    PutRightPages(
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

    @GetMapping("/records/{id}/amend")
    ModelAndView form(
            @PathVariable String id, @RequestParam(name = "draft", required = false) @Nullable String draftId) {
        Recorded recorded = standing(encounters.read(Key.of(id, "record")));
        if (draftId != null) {
            return goOn(recorded, Key.of(draftId, "record"));
        }
        Typed typed = FilledIn.of(recorded.encounter(), offered(recorded))
                .with("amends", recorded.id().toString())
                .with("seen", String.valueOf(recorded.version()))
                .with("over", String.valueOf(recorded.version()));
        return page(typed, recorded, HttpStatus.OK, List.of(), "");
    }

    private ModelAndView goOn(Recorded recorded, UUID draftId) {
        Draft draft = drafts.find(recorded.site(), draftId).orElse(null);
        Typed kept = draft == null ? null : draft.typed();
        if (draft == null || kept == null || !recorded.id().equals(kept.amends())) {
            return encounters
                    .savedUnder(new IdempotencyKey(draftId.toString()))
                    .map(PutRightPages::history)
                    .orElseThrow(() -> new Problem.Missing("draft any more"));
        }
        Typed typed = numberBox.covered(recorded.site(), kept).with("revision", String.valueOf(draft.revision()));
        Recorded seen = encounters.read(recorded.id(), version(typed, "seen"));
        return page(typed, seen, HttpStatus.OK, List.of(), "");
    }

    @PostMapping(path = "/records/{id}/amend", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView save(@PathVariable String id, @RequestParam MultiValueMap<String, String> fields) {
        UUID encounter = Key.of(id, "record");
        Typed typed = new Typed(fields);
        Recorded seen = standing(encounters.read(encounter, version(typed, "seen")));
        Recorded over = standing(encounters.read(encounter, version(typed, "over")));
        Offered offered = offered(seen);
        if (typed.one("leave") != null) {
            drafts.discard(seen.site(), draftPages.key(typed));
            return to("/records/" + encounter);
        }
        if (typed.one("later") != null) {
            return later(typed, seen);
        }
        if (typed.one("attempt") != null) {
            return page(typed.withAttempts(typed.one("attempt")), seen, HttpStatus.OK, List.of(), "");
        }
        RecordForm was = form(FilledIn.of(seen.encounter(), offered), offered);
        Typed said = numberBox.uncovered(seen.site(), typed);
        RecordForm form = form(said, offered);
        if (form.goesOn()) {
            return page(typed.withAttempts("another"), seen, HttpStatus.OK, List.of(), "");
        }
        if (seen.encounter().attempts().size() != over.encounter().attempts().size()) {
            return page(
                    typed,
                    seen,
                    HttpStatus.CONFLICT,
                    List.of(),
                    "Nothing was changed: meanwhile somebody else added an attempt or took one out. Open the record"
                            + " again in another tab, and make your changes there.");
        }
        form.changing(was, over);
        List<Questions.Told> told =
                form.faults(Circumstances.sent(clock.instant(), Doses.NONE).amending(over.encounter()));
        if (!told.isEmpty()) {
            return page(typed, seen, HttpStatus.UNPROCESSABLE_CONTENT, told, "");
        }
        ObjectNode body = form.body();
        Beside beside = numberBox.beside(said);
        if (Differences.between(over, over.with(EncounterForm.sketch(body))).isEmpty()) {
            if (beside != Beside.NOTHING) {
                return onlyBeside(encounter, typed, seen, body, beside);
            }
            return page(
                    typed,
                    seen,
                    HttpStatus.UNPROCESSABLE_CONTENT,
                    List.of(),
                    "Nothing was changed: no answer differs from the record.");
        }
        ObjectNode reason = body.putObject("amendment");
        put(reason, "reason_code", typed.one("reason_code"));
        put(reason, "reason_text", typed.one("reason_text"));
        try {
            IdempotencyKey key = IdempotencyKey.read(typed.one("key"));
            SecondTap.waitingFor(() -> encounters.amend(encounter, over.version(), body, key, beside));
        } catch (Problem.Invalid e) {
            return refused(typed, seen, e);
        } catch (Problem.Stale e) {
            return stale(encounter, typed, seen, offered);
        }
        return history(encounter);
    }

    /** The hospital number is no answer of the record: it changes without a version, and so without a reason. */
    private ModelAndView onlyBeside(UUID id, Typed typed, Recorded seen, ObjectNode body, Beside beside) {
        try {
            IdempotencyKey key = IdempotencyKey.read(typed.one("key"));
            SecondTap.waitingFor(() -> encounters.keepBeside(id, body, key, beside));
        } catch (Problem.Invalid e) {
            return refused(typed, seen, e);
        }
        return to("/records/" + id);
    }

    private ModelAndView refused(Typed typed, Recorded seen, Problem.Invalid problem) {
        return SecondTap.usedBefore(problem)
                ? page(typed, seen, HttpStatus.UNPROCESSABLE_CONTENT, List.of(), USED_BEFORE)
                : page(
                        typed,
                        seen,
                        HttpStatus.UNPROCESSABLE_CONTENT,
                        List.of(told(problem.faults().get(0))),
                        "");
    }

    private static ModelAndView history(UUID record) {
        return to("/records/" + record + "/history");
    }

    private static ModelAndView to(String address) {
        RedirectView there = new RedirectView(address);
        there.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(there);
    }

    /** "Go on later": what was changed is kept as a draft that anyone of the unit can go on with. */
    private ModelAndView later(Typed typed, Recorded seen) {
        try {
            draftPages.keep(typed.begun(clock.instant()));
            return new ModelAndView(DraftPages.home(seen.site().code()));
        } catch (Problem.Conflict e) {
            return page(typed, seen, HttpStatus.CONFLICT, List.of(), e.detail());
        }
    }

    /** Somebody else was faster: both differences are shown, and what was typed can be laid over their version. */
    private ModelAndView stale(UUID id, Typed typed, Recorded seen, Offered offered) {
        Recorded theirs = standing(encounters.read(id));
        RecordForm form = form(typed, offered);
        form.changing(form(FilledIn.of(seen.encounter(), offered), offered), seen);
        return page(
                        typed.with("over", String.valueOf(theirs.version())),
                        seen,
                        HttpStatus.PRECONDITION_FAILED,
                        List.of(),
                        "Somebody else has put this record right since you opened it. Nothing of yours was saved yet;"
                                + " everything you typed is still here.")
                .addObject("theirs", Differences.between(seen, theirs))
                .addObject("yours", Differences.between(seen, seen.with(EncounterForm.sketch(form.body()))));
    }

    private static Questions.Told told(Fault fault) {
        if (fault.path().equals("/" + NumberBox.FIELD)) {
            return new Questions.Told(NumberBox.FIELD, "Hospital number", fault.mend(), false);
        }
        boolean text = fault.path().endsWith("reason_text");
        return new Questions.Told(
                text ? "reason_text" : "reason_code",
                "Why it is put right",
                text ? fault.mend() : "Choose why the record is put right.",
                false);
    }

    private static void put(ObjectNode to, String name, @Nullable String value) {
        if (value != null) {
            to.put(name, value);
        }
    }

    private static Recorded standing(Recorded recorded) {
        if (recorded.status().equals("entered-in-error")) {
            throw new Problem.Conflict("The record was withdrawn; make a new one.", List.of());
        }
        if (!FilledIn.fits(recorded.encounter())) {
            throw new Problem.Conflict(
                    "This record holds more than the page can show: a plan without an attempt, or many drugs. Put it"
                            + " right where it came from, with PUT over the API.",
                    List.of());
        }
        return recorded;
    }

    private static int version(Typed typed, String field) {
        String version = typed.one(field);
        if (version == null || !version.matches("[1-9]\\d{0,8}")) {
            throw new Problem.Malformed(Fault.parameter(field, "version", "Send the version that the page was given."));
        }
        return Integer.parseInt(version);
    }

    private Offered offered(Recorded recorded) {
        return new Offered(recorded.site(), sites.actor(), setups.all(recorded.site()), Map.of(), false);
    }

    private RecordForm form(Typed typed, Offered offered) {
        return new RecordForm(typed, offered, clock.instant());
    }

    private ModelAndView page(Typed so, Recorded seen, HttpStatus status, List<Questions.Told> told, String note) {
        Typed typed = so.begun(clock.instant());
        Offered offered = offered(seen);
        List<String> folded = typed.attempts() == 1
                ? List.of()
                : InWords.attempts(EncounterForm.sketch(form(typed, offered).body()), offered.setupsById());
        StartTime start = new StartTime(clock.instant(), offered.site().zone());
        return new ModelAndView("encounter/record", status)
                .addObject("unitCode", offered.site().code())
                .addObject("numberKept", numberBox.kept(seen))
                .addObject("numberEnding", numberBox.ending(seen.site(), typed))
                .addObject("page", new RecordPage(typed, offered, start, told, note, folded, seen));
    }
}
