package airway.registry.reports;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.format.DateTimeFormatter;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.http.ContentDisposition;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.stereotype.Controller;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** The quarterly reports of a unit: the list, and one with the boxes to write into. */
@Controller
class ReportPages {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter MOMENT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.UK);

    /** Quarters before the present one that are offered. */
    private static final int OFFERED = 7;

    private static final List<Box> BOXES = List.of(
            new Box(
                    "asked_for",
                    "Decisions asked for",
                    "What do you want from the board? One decision a line: who should do what by when."),
            new Box("context", "Context", "Why do you look at this, and what should a reader know of the unit?"),
            new Box("learned", "What we learned", "What do the numbers, and the cases behind them, tell you?"),
            new Box(
                    "next_steps",
                    "What we will do",
                    "What will be tried next, and how will you know whether it worked?"),
            new Box(
                    "read_with_care",
                    "Read with care",
                    "What else makes these numbers uncertain? What every report has to say stands there already."));

    private final Reports reports;
    private final Print print;
    private final Sites sites;

    ReportPages(Reports reports, Print print, Sites sites) {
        this.reports = reports;
        this.print = print;
        this.sites = sites;
    }

    /** A box to write into. */
    public record Box(String name, String label, String hint) {}

    /** A quarter in the list. */
    public record Line(String code, String words, String state) {}

    @Needs(Right.READ_CHARTS)
    @GetMapping("/reports")
    ModelAndView list(
            @RequestParam(name = "site_id", required = false) @Nullable String unit,
            @RequestParam(name = "quarter", required = false) @Nullable String quarter) {
        if (quarter != null && !quarter.isBlank()) {
            try {
                Quarter asked = Quarter.parse(quarter.strip());
                reports.read(unit, asked);
                return seeOther(asked, unit, Readers.UNIT);
            } catch (Problem.NoQuarter | Problem.QuarterAhead e) {
                ModelAndView page = list(sites.named(unit))
                        .addObject("typed", quarter)
                        .addObject("told", Map.of("quarter", e.faults().get(0).mend()));
                page.setStatus(
                        e instanceof Problem.NoQuarter ? HttpStatus.BAD_REQUEST : HttpStatus.UNPROCESSABLE_CONTENT);
                return page;
            }
        }
        return list(sites.named(unit));
    }

    private ModelAndView list(Site site) {
        Quarter present = Quarter.of(reports.today(site));
        Map<Quarter, String> states = new TreeMap<>((one, other) -> other.compareTo(one));
        Quarter quarter = present;
        for (int i = 0; i <= OFFERED; i++) {
            states.put(quarter, i == 0 ? "Not over yet" : "Nothing written yet");
            quarter = quarter.before();
        }
        for (ReportQuery.Line line : reports.all(site)) {
            states.put(
                    line.quarter(),
                    (line.finalisedAt() == null ? "Draft, last written " : "Final, ")
                            + MOMENT.format(line.writtenAt().atZone(site.zone())));
        }
        return new ModelAndView("reports/reports")
                .addObject("unitCode", site.code())
                .addObject("site", site)
                .addObject("typed", "")
                .addObject("told", Map.of())
                .addObject(
                        "lines",
                        states.entrySet().stream()
                                .map(state -> new Line(
                                        state.getKey().code(), state.getKey().words(), state.getValue()))
                                .toList());
    }

    @Needs(Right.READ_CHARTS)
    @GetMapping("/reports/{quarter}")
    ModelAndView read(
            @PathVariable String quarter,
            @RequestParam(name = "site_id", required = false) @Nullable String unit,
            @RequestParam(name = "readers", required = false) @Nullable String readers) {
        return page(unit, Quarter.parse(quarter), ReportForm.readers(readers), HttpStatus.OK);
    }

    @Needs(Right.READ_CHARTS)
    @GetMapping("/reports/{quarter}/pdf")
    ResponseEntity<byte[]> pdf(
            @PathVariable("quarter") String code,
            @RequestParam(name = "site_id", required = false) @Nullable String unit,
            @RequestParam(name = "readers", required = false) @Nullable String named) {
        Readers readers = ReportForm.readers(named);
        Report report = reports.read(unit, Quarter.parse(code));
        return ResponseEntity.ok()
                .contentType(MediaType.APPLICATION_PDF)
                .header(
                        HttpHeaders.CONTENT_DISPOSITION,
                        ContentDisposition.inline()
                                .filename("report-" + report.site().code() + "-"
                                        + report.quarter().code() + "-" + readers.code() + ".pdf")
                                .build()
                                .toString())
                .body(print.pdf(report, readers));
    }

    private ModelAndView page(@Nullable String unit, Quarter quarter, Readers readers, HttpStatus status) {
        Report report = reports.read(unit, quarter);
        Kept kept = report.kept();
        Paper paper = report.paper(readers);
        return new ModelAndView("reports/report", status)
                .addObject("unitCode", report.site().code())
                .addObject("quarter", quarter.code())
                .addObject("readers", readers.code())
                .addObject("paper", paper)
                .addObject("locked", report.isFinal())
                .addObject("over", report.over())
                .addObject("mayWrite", !report.isFinal() && reports.mayWrite(report.site()))
                .addObject(
                        "corrections", report.isFinal() ? report.corrections().words(readers) : null)
                .addObject(
                        "written",
                        kept == null
                                ? null
                                : MOMENT.format(
                                        kept.writtenAt().atZone(report.site().zone())))
                .addObject("seen", report.version())
                .addObject("boxes", BOXES)
                .addObject("typed", filledIn(report.texts()))
                .addObject("told", Map.of());
    }

    /** Keeps what was typed, and makes the report final where that was asked for. */
    @Needs(Right.IMPROVE)
    @PostMapping(path = "/reports/{quarter}", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView write(@PathVariable("quarter") String code, @RequestParam MultiValueMap<String, String> typed) {
        Quarter quarter = Quarter.parse(code);
        String unit = typed.getFirst("site_id");
        String seen = String.valueOf(typed.getFirst("seen"));
        if (!seen.matches("0|[1-9]\\d{0,8}")) {
            throw new Problem.Malformed(
                    Fault.parameter("seen", "version", "Send the version that the page was given."));
        }
        boolean finalise = "final".equals(typed.getFirst("then"));
        try {
            if (finalise && !"yes".equals(typed.getFirst("sure"))) {
                throw new Problem.Invalid(
                        Fault.at("/sure", "sure", "Tick that the report may be locked, or only keep what you wrote."));
            }
            if (finalise) {
                reports.finalise(unit, quarter, Integer.parseInt(seen), body(typed));
            } else {
                reports.write(unit, quarter, Integer.parseInt(seen), body(typed));
            }
        } catch (Problem.Invalid | Problem.QuarterRunning e) {
            return again(unit, quarter, typed, status(e)).addObject("told", told(e));
        } catch (Problem.ReportFinal e) {
            return again(unit, quarter, typed, HttpStatus.CONFLICT)
                    .addObject("stale", e.detail() + " What you typed is still here, to be copied.");
        } catch (Problem.Stale e) {
            return again(unit, quarter, typed, HttpStatus.PRECONDITION_FAILED)
                    .addObject(
                            "stale",
                            "Somebody else has written since you opened this. Nothing of yours was kept yet. What they wrote"
                                    + " stands in the report, what you typed is still in the boxes: look at both, and press"
                                    + " the button again to put yours in place of theirs, which stays in the history.");
        }
        return seeOther(quarter, unit, Readers.UNIT);
    }

    private ModelAndView again(
            @Nullable String unit, Quarter quarter, MultiValueMap<String, String> typed, HttpStatus status) {
        Map<String, String> kept = new LinkedHashMap<>();
        ReportForm.FIELDS.forEach(name -> kept.put(name, text(typed, name)));
        return page(unit, quarter, Readers.UNIT, status).addObject("typed", kept);
    }

    private static HttpStatus status(Problem problem) {
        return problem instanceof Problem.Invalid ? HttpStatus.UNPROCESSABLE_CONTENT : HttpStatus.CONFLICT;
    }

    private static ObjectNode body(MultiValueMap<String, String> typed) {
        ObjectNode body = JSON.createObjectNode();
        for (String name : ReportForm.FIELDS) {
            String text = text(typed, name);
            if (!text.isBlank()) {
                body.put(name, text);
            }
        }
        return body;
    }

    private static String text(MultiValueMap<String, String> typed, String name) {
        String text = typed.getFirst(name);
        return text == null ? "" : text;
    }

    private static Map<String, String> told(Problem problem) {
        return problem.faults().stream()
                .collect(Collectors.toMap(
                        fault -> fault.path().replace("/", "").replace("quarter", "then"),
                        fault -> problem instanceof Problem.QuarterRunning
                                ? problem.detail() + " " + fault.mend()
                                : fault.mend(),
                        (one, other) -> one,
                        LinkedHashMap::new));
    }

    private static Map<String, String> filledIn(Texts texts) {
        Map<String, String> filled = new LinkedHashMap<>();
        filled.put("context", or(texts.context()));
        filled.put("learned", or(texts.learned()));
        filled.put("next_steps", or(texts.nextSteps()));
        filled.put("asked_for", or(texts.askedFor()));
        filled.put("read_with_care", or(texts.readWithCare()));
        return filled;
    }

    private static String or(@Nullable String text) {
        return text == null ? "" : text;
    }

    private static ModelAndView seeOther(Quarter quarter, @Nullable String unit, Readers readers) {
        RedirectView done = new RedirectView("/reports/" + quarter.code());
        if (unit != null && !unit.isBlank()) {
            done.addStaticAttribute("site_id", unit);
        }
        if (readers != Readers.UNIT) {
            done.addStaticAttribute("readers", readers.code());
        }
        done.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(done);
    }
}
