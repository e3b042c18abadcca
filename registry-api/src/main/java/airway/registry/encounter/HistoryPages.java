package airway.registry.encounter;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.problem.Fault;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpStatus;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** The history of a record: every version, why it was made and what it changed; and taking a record out of all counts. */
@Needs(Right.READ_RECORDS)
@Controller
class HistoryPages {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);

    private final Encounters encounters;

    HistoryPages(Encounters encounters) {
        this.encounters = encounters;
    }

    /** One version for the page. */
    public record Shown(int number, String what, String at, String why, List<Differences.Line> changes) {}

    @GetMapping("/records/{id}/history")
    ModelAndView history(@PathVariable String id) {
        return page(Key.of(id, "record"), HttpStatus.OK, null);
    }

    @Needs({Right.AMEND_OWN, Right.AMEND_ANY})
    @PostMapping("/records/{id}/withdrawal")
    ModelAndView withdraw(
            @PathVariable String id,
            @RequestParam(name = "reason_code", required = false) @Nullable String code,
            @RequestParam(name = "reason_text", required = false) @Nullable String text) {
        UUID encounter = Key.of(id, "record");
        ObjectNode body = JSON.createObjectNode();
        if (code != null) {
            body.put("reason_code", code);
        }
        if (text != null && !text.isBlank()) {
            body.put("reason_text", text.strip());
        }
        try {
            encounters.withdraw(encounter, body);
        } catch (Problem.Invalid e) {
            Fault first = e.faults().get(0);
            return page(
                            encounter,
                            HttpStatus.UNPROCESSABLE_CONTENT,
                            first.path().endsWith("reason_code") ? "Choose why the record is withdrawn." : first.mend())
                    .addObject("code", code)
                    .addObject("text", text);
        }
        RedirectView done = new RedirectView("/records/" + encounter + "/history");
        done.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(done);
    }

    private ModelAndView page(UUID id, HttpStatus status, @Nullable String fault) {
        List<VersionLine> lines = encounters.versions(id);
        Recorded before = encounters.read(id, 1);
        ZoneId zone = before.site().zone();
        List<Shown> shown = new ArrayList<>();
        for (VersionLine line : lines) {
            Recorded version = line.number() == 1 ? before : encounters.read(id, line.number());
            shown.add(
                    0,
                    new Shown(
                            line.number(),
                            what(line.status()),
                            AT.format(line.writtenAt().atZone(zone)),
                            why(line.reason()),
                            Differences.between(before, version)));
            before = version;
        }
        return new ModelAndView("encounter/history", status)
                .addObject("unitCode", before.site().code())
                .addObject("id", id)
                .addObject("versions", shown)
                .addObject("mayPutRight", encounters.mayPutRight(before))
                .addObject("withdrawn", before.status().equals("entered-in-error"))
                .addObject("reasons", Reason.Code.TO_WITHDRAW.stream().sorted().toList())
                .addObject("fault", fault);
    }

    private static String what(String status) {
        return switch (status) {
            case "final" -> "Saved";
            case "amended" -> "Put right";
            default -> "Withdrawn";
        };
    }

    private static String why(@Nullable Reason reason) {
        if (reason == null) {
            return "";
        }
        return reason.code().label() + (reason.text() == null ? "." : ": " + reason.text());
    }
}
