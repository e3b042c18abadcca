package airway.registry.reviews;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.cohort.Measure;
import airway.registry.problem.Fault;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.UUID;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;
import org.springframework.web.util.UriComponentsBuilder;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The cases to look at as a list, and a case with what was written about it. */
@Needs(Right.IMPROVE)
@Controller
class ReviewPages {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter MONTH = DateTimeFormatter.ofPattern("MMM yyyy", Locale.ENGLISH);
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.ENGLISH);
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);
    private static final String NOT_SAID = "–";

    private final Reviews reviews;
    private final Sites sites;
    private final Clock clock;

    ReviewPages(Reviews reviews, Sites sites, Clock clock) {
        this.reviews = reviews;
        this.sites = sites;
        this.clock = clock;
    }

    /** A case in the list. */
    public record Line(UUID id, String when, String why, String state, boolean done) {}

    /** An answer that a version changed. */
    public record Difference(String question, String was, String now) {}

    /** A version in the history. */
    public record Shown(int number, String what, String at, String why, List<Difference> changes) {}

    @GetMapping("/reviews")
    ModelAndView list(@RequestParam MultiValueMap<String, String> parameters) {
        Site site = sites.named(parameters.getFirst("site_id"));
        MultiValueMap<String, String> asked = new LinkedMultiValueMap<>();
        parameters.forEach((name, values) -> {
            if (values.stream().anyMatch(value -> !value.isBlank())) {
                asked.put(name, values);
            }
        });
        ReviewCursor after = ReviewListForm.after(asked);
        asked.remove("after");
        ModelAndView page = new ModelAndView("reviews/reviews")
                .addObject("unitCode", site.code())
                .addObject("site", site)
                .addObject("asked", asked.toSingleValueMap())
                .addObject("opening", Case.OPENING);
        try {
            Reviews.Page list = reviews.page(site, ReviewListForm.read(asked, site), after);
            page.addObject("waiting", list.counts().waiting())
                    .addObject("done", list.counts().done())
                    .addObject("lines", list.cases().stream().map(this::line).toList())
                    .addObject("first", after == null ? null : address(asked, null))
                    .addObject("next", list.next() == null ? null : address(asked, list.next()));
        } catch (Problem.Malformed e) {
            if (e.faults().stream().anyMatch(fault -> fault.path().equals("after"))) {
                throw e;
            }
            page.setStatus(HttpStatus.BAD_REQUEST);
            page.addObject(
                    "faults", e.faults().stream().map(Fault::mend).distinct().toList());
        }
        return page;
    }

    private static String address(MultiValueMap<String, String> asked, @Nullable ReviewCursor after) {
        UriComponentsBuilder address = UriComponentsBuilder.fromPath("/reviews").queryParams(asked);
        if (after != null) {
            address.queryParam("after", after.encoded());
        }
        return address.encode().build().toUriString();
    }

    private Line line(Case one) {
        return new Line(one.id(), when(one), why(one), state(one), one.done());
    }

    private static String when(Case one) {
        ZoneId zone = one.site().zone();
        return switch (one.precision()) {
            case "minute" -> AT.format(one.startedAt().atZone(zone));
            case "day" -> DAY.format(one.startedAt().atZone(zone));
            case "month" -> MONTH.format(one.startedAt().atZone(zone));
            default -> "Day not known";
        };
    }

    private static String why(Case one) {
        if (one.withdrawn()) {
            return "The reason is gone: the record was withdrawn.";
        }
        if (one.why().isEmpty()) {
            return "The reason is gone: the record was put right.";
        }
        String words = one.why().stream()
                .map(measure -> measure.title().toLowerCase(Locale.ROOT))
                .collect(Collectors.joining("; "));
        return words.substring(0, 1).toUpperCase(Locale.ROOT) + words.substring(1) + ".";
    }

    private String state(Case one) {
        Kept kept = one.kept();
        if (kept == null) {
            return "Waits for review";
        }
        if (kept.review().done()) {
            return "Done";
        }
        LocalDate due = kept.review().dueOn();
        if (due == null) {
            return "Begun";
        }
        boolean over =
                due.isBefore(LocalDate.ofInstant(clock.instant(), one.site().zone()));
        return "Begun; the action " + (over ? "was due " : "is due ") + DAY.format(due);
    }

    @GetMapping("/reviews/{id}")
    ModelAndView one(@PathVariable String id) {
        return page(Key.of(id, "record"), HttpStatus.OK);
    }

    private ModelAndView page(UUID id, HttpStatus status) {
        Reviews.History history = reviews.read(id);
        Case one = history.of();
        Kept kept = one.kept();
        return new ModelAndView("reviews/review", status)
                .addObject("unitCode", one.site().code())
                .addObject("id", id)
                .addObject("when", when(one))
                .addObject("opens", kept != null || !one.why().isEmpty())
                .addObject("why", why(one))
                .addObject("gone", kept != null && one.why().isEmpty())
                .addObject("bySeverity", one.why().contains(Measure.AE_SEVERE))
                .addObject("versions", versions(history.versions(), one.site().zone()))
                .addObject("contributions", Contribution.values())
                .addObject("reasons", Amendment.Code.values())
                .addObject(
                        "today", LocalDate.ofInstant(clock.instant(), one.site().zone()))
                .addObject("seen", kept == null ? 0 : kept.version())
                .addObject(
                        "contributed",
                        kept == null
                                ? List.of()
                                : Contribution.values(kept.review().contributed()))
                .addObject("typed", kept == null ? Map.of() : filledIn(kept.review()))
                .addObject("told", Map.of());
    }

    @PostMapping(path = "/reviews/{id}", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView write(@PathVariable String id, @RequestParam MultiValueMap<String, String> typed) {
        UUID encounter = Key.of(id, "record");
        String version = String.valueOf(typed.getFirst("seen"));
        if (!version.matches("0|[1-9]\\d{0,8}")) {
            throw new Problem.Malformed(
                    Fault.parameter("seen", "version", "Send the version that the page was given."));
        }
        Integer seen = version.equals("0") ? null : Integer.valueOf(version);
        try {
            reviews.write(encounter, seen, body(typed, seen != null));
        } catch (Problem.Invalid e) {
            return again(encounter, typed, HttpStatus.UNPROCESSABLE_CONTENT)
                    .addObject("seen", version)
                    .addObject("told", told(e));
        } catch (Problem.Stale e) {
            return again(encounter, typed, HttpStatus.PRECONDITION_FAILED)
                    .addObject(
                            "stale",
                            "Somebody else has written about this case since you opened it. Nothing of yours was saved"
                                    + " yet. What they wrote stands at the top of the history, what you typed is still"
                                    + " here: say why it is written anew, and press \u201cKeep\u201d again to lay yours"
                                    + " over theirs.");
        }
        RedirectView done = new RedirectView("/reviews/" + encounter);
        done.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(done);
    }

    private ModelAndView again(UUID id, MultiValueMap<String, String> typed, HttpStatus status) {
        return page(id, status)
                .addObject("typed", typed.toSingleValueMap())
                .addObject("contributed", typed.getOrDefault("contributed", List.of()));
    }

    /** What was typed, as the API takes it; fields left empty are left out. */
    private static ObjectNode body(MultiValueMap<String, String> typed, boolean again) {
        ObjectNode body = JSON.createObjectNode();
        ArrayNode contributed = body.putArray("contributed");
        typed.getOrDefault("contributed", List.of()).forEach(contributed::add);
        put(body, typed, List.of("learning_point", "action", "due_on", "done"));
        if (again) {
            put(body.putObject("amendment"), typed, List.of("reason_code", "reason_text"));
        }
        return body;
    }

    private static void put(ObjectNode body, MultiValueMap<String, String> typed, List<String> names) {
        for (String name : names) {
            String value = typed.getFirst(name);
            if (value != null && !value.isBlank()) {
                body.put(name, value);
            }
        }
    }

    private static Map<String, String> told(Problem problem) {
        Map<String, String> told = new LinkedHashMap<>();
        for (Fault fault : problem.faults()) {
            List<String> steps = List.of(fault.path().split("/", -1));
            String field = steps.contains("contributed") ? "contributed" : steps.get(steps.size() - 1);
            told.put(field, field.equals("reason_code") ? "Choose why it is written anew." : fault.mend());
        }
        return told;
    }

    private static Map<String, String> filledIn(Review review) {
        Map<String, String> filled = new LinkedHashMap<>();
        filled.put("learning_point", or(review.learningPoint(), ""));
        filled.put("action", or(review.action(), ""));
        filled.put("due_on", review.dueOn() == null ? "" : review.dueOn().toString());
        filled.put("done", review.done() ? "yes" : "no");
        return filled;
    }

    /** Newest first, each version with what it changed; the first one with what it said. */
    private static List<Shown> versions(List<Kept> versions, ZoneId zone) {
        List<Shown> shown = new ArrayList<>();
        Review before = new Review(List.of(), null, null, null, false);
        for (Kept kept : versions) {
            Amendment amendment = kept.amendment();
            shown.add(
                    0,
                    new Shown(
                            kept.version(),
                            kept.version() == 1 ? "Written" : "Written anew",
                            AT.format(kept.writtenAt().atZone(zone)),
                            amendment == null
                                    ? ""
                                    : amendment.code().label()
                                            + (amendment.text() == null ? "." : ": " + amendment.text()),
                            differences(before, kept.review())));
            before = kept.review();
        }
        return shown;
    }

    private static List<Difference> differences(Review was, Review now) {
        List<Difference> differences = new ArrayList<>();
        add(differences, "What contributed", words(was.contributed()), words(now.contributed()));
        add(differences, "Learning point", or(was.learningPoint(), NOT_SAID), or(now.learningPoint(), NOT_SAID));
        add(differences, "Action", or(was.action(), NOT_SAID), or(now.action(), NOT_SAID));
        add(differences, "Due", day(was.dueOn()), day(now.dueOn()));
        add(differences, "Done", was.done() ? "yes" : "no", now.done() ? "yes" : "no");
        return differences;
    }

    private static void add(List<Difference> differences, String question, String was, String now) {
        if (!was.equals(now)) {
            differences.add(new Difference(question, was, now));
        }
    }

    private static String words(List<Contribution> contributed) {
        return contributed.isEmpty()
                ? NOT_SAID
                : contributed.stream().map(Contribution::label).collect(Collectors.joining(", "));
    }

    private static String day(@Nullable LocalDate day) {
        return day == null ? NOT_SAID : DAY.format(day);
    }

    private static String or(@Nullable String text, String otherwise) {
        return text == null ? otherwise : text;
    }
}
