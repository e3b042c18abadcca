package airway.registry.changes;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
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
import org.springframework.web.servlet.view.RedirectView;
import org.springframework.web.util.UriComponentsBuilder;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** What was changed and when, as pages: the list, a change with its history, putting it right, withdrawing it. */
@Needs(Right.IMPROVE)
@Controller
class ChangePages {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.ENGLISH);
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);
    private static final List<String> PARTS = List.of("changed_on", "name", "reason", "cuts_chart");
    private static final List<String> WHY = List.of("reason_code", "reason_text");

    private final Changes changes;
    private final Sites sites;

    ChangePages(Changes changes, Sites sites) {
        this.changes = changes;
        this.sites = sites;
    }

    /** A change in the list. */
    public record Line(UUID id, String day, String name, String reason, String kind, String note) {}

    /** An answer that a version changed. */
    public record Difference(String question, String was, String now) {}

    /** A version in the history. */
    public record Shown(int number, String what, String at, String why, List<Difference> changes) {}

    @GetMapping("/changes")
    ModelAndView list(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return list(sites.named(siteId), HttpStatus.OK);
    }

    private ModelAndView list(Site site, HttpStatus status) {
        return new ModelAndView("changes/changes", status)
                .addObject("unitCode", site.code())
                .addObject("site", site)
                .addObject("today", changes.today(site))
                .addObject("lines", lines(changes.all(site, false)))
                .addObject("withdrawn", lines(changes.all(site, true)))
                .addObject("typed", Map.of())
                .addObject("told", Map.of());
    }

    /** The newest first: what happened last is what is looked for. */
    private static List<Line> lines(List<Kept> all) {
        List<Line> lines = new ArrayList<>();
        for (Kept kept : all) {
            Change change = kept.change();
            lines.add(
                    0,
                    new Line(
                            change.id(),
                            DAY.format(change.on()),
                            change.name(),
                            change.reason(),
                            kind(change),
                            kept.status().equals("amended") ? "Put right" : ""));
        }
        return lines;
    }

    @PostMapping(path = "/changes", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView add(@RequestParam MultiValueMap<String, String> typed) {
        Site site = sites.named(typed.getFirst("site_id"));
        ObjectNode body = body(typed, PARTS).put("site_id", site.code());
        try {
            changes.keep(body);
        } catch (Problem.Invalid | Problem.Conflict e) {
            return list(site, status(e))
                    .addObject("typed", typed.toSingleValueMap())
                    .addObject("told", told(e, ""));
        }
        return seeOther(UriComponentsBuilder.fromPath("/changes")
                .queryParam("site_id", site.code())
                .encode()
                .build()
                .toUriString());
    }

    @GetMapping("/changes/{id}")
    ModelAndView change(@PathVariable String id) {
        return change(Key.of(id, "change"), HttpStatus.OK);
    }

    private ModelAndView change(UUID id, HttpStatus status) {
        List<Kept> versions = changes.versions(id);
        Kept now = versions.get(versions.size() - 1);
        return new ModelAndView("changes/change", status)
                .addObject("unitCode", now.site().code())
                .addObject("id", id)
                .addObject("name", now.change().name())
                .addObject("day", DAY.format(now.change().on()))
                .addObject("reason", now.change().reason())
                .addObject("kind", kind(now.change()))
                .addObject("withdrawn", now.withdrawn())
                .addObject("today", changes.today(now.site()))
                .addObject("versions", history(versions))
                .addObject("toAmend", sorted(Amendment.Code.TO_AMEND))
                .addObject("toWithdraw", sorted(Amendment.Code.TO_WITHDRAW))
                .addObject("seen", now.version())
                .addObject("typed", filledIn(now.change()))
                .addObject("out", Map.of())
                .addObject("told", Map.of());
    }

    @PostMapping(path = "/changes/{id}/amend", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView amend(@PathVariable String id, @RequestParam MultiValueMap<String, String> typed) {
        UUID change = Key.of(id, "change");
        String seen = String.valueOf(typed.getFirst("seen"));
        if (!seen.matches("[1-9]\\d{0,8}")) {
            throw new Problem.Malformed(
                    Fault.parameter("seen", "version", "Send the version that the page was given."));
        }
        ObjectNode body = body(typed, PARTS);
        body.set("amendment", body(typed, WHY));
        try {
            changes.amend(change, Integer.parseInt(seen), body);
        } catch (Problem.Invalid | Problem.Conflict e) {
            return change(change, status(e))
                    .addObject("seen", seen)
                    .addObject("typed", typed.toSingleValueMap())
                    .addObject("told", told(e, ""));
        } catch (Problem.Stale e) {
            return change(change, HttpStatus.PRECONDITION_FAILED)
                    .addObject("typed", typed.toSingleValueMap())
                    .addObject(
                            "stale",
                            "Somebody else has put this change right since you opened it. Nothing of yours was saved"
                                    + " yet. What they changed stands at the top of the history, what you typed is still"
                                    + " here: press \u201cPut right\u201d again to lay yours over theirs.");
        }
        return seeOther("/changes/" + change);
    }

    @PostMapping(path = "/changes/{id}/withdrawal", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView withdraw(@PathVariable String id, @RequestParam MultiValueMap<String, String> typed) {
        UUID change = Key.of(id, "change");
        try {
            changes.withdraw(change, body(typed, WHY));
        } catch (Problem.Invalid e) {
            return change(change, status(e))
                    .addObject("out", typed.toSingleValueMap())
                    .addObject("told", told(e, "out_"));
        }
        return seeOther("/changes/" + change);
    }

    /** Newest first, each version with what it changed; the first one with what it said. */
    private static List<Shown> history(List<Kept> versions) {
        List<Shown> shown = new ArrayList<>();
        Map<String, String> before = Map.of();
        for (Kept kept : versions) {
            ZoneId zone = kept.site().zone();
            shown.add(
                    0,
                    new Shown(
                            kept.version(),
                            what(kept.status()),
                            AT.format(kept.writtenAt().atZone(zone)),
                            why(kept.amendment()),
                            differences(before, answers(kept.change()))));
            before = answers(kept.change());
        }
        return shown;
    }

    private static List<Difference> differences(Map<String, String> was, Map<String, String> now) {
        List<Difference> differences = new ArrayList<>();
        now.forEach((question, answer) -> {
            String before = was.getOrDefault(question, "");
            if (!answer.equals(before)) {
                differences.add(new Difference(question, before, answer));
            }
        });
        return differences;
    }

    private static Map<String, String> answers(Change change) {
        Map<String, String> answers = new LinkedHashMap<>();
        answers.put("First day", DAY.format(change.on()));
        answers.put("What was changed", change.name());
        answers.put("Why", change.reason());
        answers.put("On the charts", kind(change));
        return answers;
    }

    private static String kind(Change change) {
        return change.cutsChart() ? "A new phase begins" : "A note, no new phase";
    }

    private static String what(String status) {
        return switch (status) {
            case "final" -> "Noted";
            case "amended" -> "Put right";
            default -> "Withdrawn";
        };
    }

    private static String why(@Nullable Amendment amendment) {
        if (amendment == null) {
            return "";
        }
        return amendment.code().label() + (amendment.text() == null ? "." : ": " + amendment.text());
    }

    private static List<Amendment.Code> sorted(Set<Amendment.Code> codes) {
        return codes.stream().sorted().toList();
    }

    private static Map<String, String> filledIn(Change change) {
        return Map.of(
                "changed_on", change.on().toString(),
                "name", change.name(),
                "reason", change.reason(),
                "cuts_chart", change.cutsChart() ? "yes" : "no");
    }

    /** What was typed, as the API takes it; fields left empty are left out. */
    private static ObjectNode body(MultiValueMap<String, String> typed, List<String> names) {
        ObjectNode body = JSON.createObjectNode();
        for (String name : names) {
            String value = typed.getFirst(name);
            if (value != null && !value.isBlank()) {
                body.put(name, value);
            }
        }
        return body;
    }

    /** What is to be mended, by the field of the page. */
    private static Map<String, String> told(Problem problem, String prefix) {
        Map<String, String> told = new LinkedHashMap<>();
        for (Fault fault : problem.faults()) {
            String field = fault.path().substring(fault.path().lastIndexOf('/') + 1);
            told.put(
                    prefix + field,
                    field.equals("reason_code")
                            ? "Choose why."
                            : problem instanceof Problem.Conflict
                                    ? problem.detail() + " " + fault.mend()
                                    : fault.mend());
        }
        if (told.isEmpty()) {
            told.put(prefix + "name", problem.detail());
        }
        return told;
    }

    private static HttpStatus status(Problem problem) {
        return problem instanceof Problem.Conflict ? HttpStatus.CONFLICT : HttpStatus.UNPROCESSABLE_CONTENT;
    }

    private static ModelAndView seeOther(String address) {
        RedirectView done = new RedirectView(address);
        done.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(done);
    }
}
