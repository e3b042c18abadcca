package airway.registry.web;

import airway.registry.access.Open;
import airway.registry.problem.Problem;
import java.util.Map;
import java.util.Optional;
import org.springframework.stereotype.Controller;
import org.springframework.ui.Model;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;

/** A page for each kind of problem: the address in {@code type} of an answer leads here. */
@Open
@Controller
class ProblemPages {
    /** What a kind means and what to do about it. */
    record Kind(String title, String meaning, String mend) {}

    private static final Map<String, Kind> KINDS = Map.ofEntries(
            kind(
                    "malformed",
                    "The request cannot be read",
                    "The body is not JSON, a field or parameter does not exist, or a header is missing.",
                    "Mend what errors names; nothing was stored."),
            kind(
                    "invalid",
                    "Some answers need another look",
                    "Values are wrong, needed and missing, or so unlikely that they must be confirmed.",
                    "errors names every one of them with what to do. An unlikely value is taken when its pointer is"
                            + " sent in confirmed. Nothing was stored."),
            kind(
                    "too-small",
                    "Too few to be told",
                    "So few cases are behind it that single children could be recognised. Nothing was told.",
                    "Choose a longer period, fewer filters or fewer lines."),
            kind(
                    "gives-away",
                    "It would give a small number away",
                    "Subtracted from tables that were told before, this one would tell a number that is too small to be"
                            + " told. Nothing was told.",
                    "Tell the earlier table again, or choose the same spans and filters as before, or wait until more"
                            + " cases have come."),
            kind(
                    "never-leaves",
                    "This never leaves the unit",
                    "A direct identifier, a key of the register or written text was asked for.",
                    "Leave it out; no role and no approval opens it."),
            kind(
                    "missing",
                    "Not found",
                    "There is no such thing, or it belongs to a unit that is not yours. The two are not told apart.",
                    "Check the address."),
            kind(
                    "conflict",
                    "Something else stands in the way",
                    "The request is in order, but cannot be done in the state that things are in, or the same request"
                            + " is being carried out at this moment.",
                    "Wait as long as Retry-After says, then send it again, or do what detail says."),
            kind(
                    "stale",
                    "Somebody else has changed it",
                    "The record was amended after you read it, so yours would have covered what is there now.",
                    "Read it again, look at what changed, and send yours once more with the new ETag in If-Match."),
            kind(
                    "unconditional",
                    "Say which version you changed",
                    "A change must say which version it was made to.",
                    "Send the header If-Match with the ETag of the record you read."),
            kind("too-large", "The request is too large", "A request may have 64 KiB at most.", "Send less at a time."),
            kind(
                    "unavailable",
                    "The registry cannot reach its database",
                    "Nothing was stored and nothing was lost.",
                    "Send the same request again in a moment; with the same key it is kept once."),
            kind(
                    "refused",
                    "Not allowed",
                    "A request that changes something came from another site than the registry's own pages.",
                    "Send it from the registry's page."),
            kind(
                    "signed-out",
                    "Please sign in",
                    "Nobody is signed in, or the session ended, or the token does not serve any more. Nothing was stored.",
                    "Sign in. A program sends Authorization: Bearer and its token."),
            kind(
                    "not-allowed",
                    "Not allowed here",
                    "This needs a role that you do not have in this unit.",
                    "Ask whoever administers the register; what each role may do stands in the documentation."),
            kind(
                    "too-many",
                    "Too much at once",
                    "More was asked in a short time than one may ask. Nothing was stored.",
                    "Wait as long as Retry-After says."),
            kind(
                    "no-quarter",
                    "There is no such quarter",
                    "What should name a quarter names none.",
                    "Name it by year and quarter, as 2026-Q3. Years go from 1950 to 2149."),
            kind(
                    "quarter-ahead",
                    "This quarter has not begun",
                    "There is nothing to report of a quarter that has not begun.",
                    "Name a quarter up to the present one."),
            kind(
                    "quarter-running",
                    "The quarter is not over",
                    "A report is made final once its quarter is over in the zone of the unit; until then it can be drafted.",
                    "Wait for the end of the quarter, or name an earlier one. Nothing was stored."),
            kind(
                    "report-final",
                    "The report is final",
                    "Numbers and texts of a final report stay as they are; what happened to its records since is told beside it.",
                    "Read it; what is to be said since belongs into a later report. Nothing was stored."),
            kind(
                    "item-moved",
                    "Somebody else has moved it",
                    "An item of the kit was moved since it was read; the problem names the state it is in now.",
                    "Read it again, look where it is, and send yours once more if it still fits. Nothing was stored."),
            kind(
                    "no-such-move",
                    "It cannot go there from here",
                    "An item of the kit goes round by certain ways only: what was opened is dirty until a cycle passed.",
                    "The item tells where it can go. Nothing was stored."),
            kind(
                    "trolley-checked",
                    "Somebody else has checked or opened it",
                    "Somebody wrote into the log of a trolley since it was read; the problem names how it stands now.",
                    "Read it again; if yours is still needed, send it once more. Nothing was stored."),
            kind("bad-request", "Bad request", "The request could not be understood.", "Check address and parameters."),
            kind(
                    "not-found",
                    "Not found",
                    "There is nothing at this address, or it belongs to another unit.",
                    "Check the address, or begin at the front page."),
            kind(
                    "method-not-allowed",
                    "Method not allowed",
                    "This address does not take that method.",
                    "The header Allow names those it takes."),
            kind(
                    "not-acceptable",
                    "Not acceptable",
                    "This address does not answer in the form asked for.",
                    "Ask for application/json, or leave the header Accept out."),
            kind(
                    "unsupported-media-type",
                    "Unsupported media type",
                    "The body came in a form that is not read here.",
                    "Send it as application/json."),
            kind(
                    "content-too-large",
                    "Content too large",
                    "More was sent than the registry reads.",
                    "A table may have 64 MiB; split it, or import it by the command."),
            kind(
                    "internal-server-error",
                    "Internal server error",
                    "Something went wrong in the registry. Nothing was stored.",
                    "Tell whoever runs the registry the number in instance: it is in the log."));

    private static Map.Entry<String, Kind> kind(String slug, String title, String meaning, String mend) {
        return Map.entry(slug, new Kind(title, meaning, mend));
    }

    @GetMapping("/problems/{slug}")
    String kind(@PathVariable String slug, Model model) {
        model.addAttribute(
                "kind", Optional.ofNullable(KINDS.get(slug)).orElseThrow(() -> new Problem.Missing("kind of problem")));
        model.addAttribute("slug", slug);
        return "problem-kind";
    }
}
