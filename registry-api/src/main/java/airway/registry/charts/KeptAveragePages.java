package airway.registry.charts;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.charts.Chart.Phase;
import airway.registry.charts.Chart.Point;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.stats.chart.ControlChart;
import java.time.YearMonth;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The average that a unit keeps for a chart, as a page: keeping it, keeping it anew, withdrawing it, and what it was before. */
@Needs(Right.IMPROVE)
@Controller
class KeptAveragePages {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.UK);

    /** What is typed on the page; all else says which chart it is about. */
    private static final List<String> TYPED = List.of("from", "to", "reason", "seen", "out_reason");

    private final KeptAverages averages;
    private final Charts charts;
    private final Sites sites;

    KeptAveragePages(KeptAverages averages, Charts charts, Sites sites) {
        this.averages = averages;
        this.charts = charts;
        this.sites = sites;
    }

    /** A part of the question, to be sent along. */
    public record Part(String name, String value) {}

    /** A version in the history. */
    public record Shown(String what, String at, String period, String line, String reason) {}

    /** The chart that is meant, and what it is called. */
    private record Meant(ChartRequest about, MultiValueMap<String, String> question) {}

    @GetMapping("/kept-average")
    ModelAndView show(@RequestParam MultiValueMap<String, String> parameters) {
        return page(meant(parameters), Map.of(), Map.of(), null, HttpStatus.OK);
    }

    @PostMapping(path = "/kept-average", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView keep(@RequestParam MultiValueMap<String, String> parameters) {
        Meant meant = meant(parameters);
        Map<String, String> typed = typed(parameters);
        KeptAverage last = averages.newest(meant.about()).orElse(null);
        String seen = typed.getOrDefault("seen", "0");
        ObjectNode body = JSON.createObjectNode();
        for (String name : List.of("from", "to", "reason")) {
            body.put(name, typed.getOrDefault(name, ""));
        }
        try {
            if (last == null || last.withdrawn()) {
                averages.keep(question(body, meant));
            } else {
                averages.anew(last.id(), seen.matches("\\d{1,9}") ? Integer.parseInt(seen) : 0, body);
            }
        } catch (Problem.Invalid e) {
            return page(meant, typed, told(e, ""), null, HttpStatus.UNPROCESSABLE_CONTENT);
        } catch (Problem.Stale | Problem.Conflict e) {
            return page(
                    meant,
                    typed,
                    Map.of(),
                    "Somebody else has kept this average since you opened the page. What you typed is still here; press the"
                            + " button again to put yours in its place. Theirs stays readable.",
                    HttpStatus.PRECONDITION_FAILED);
        }
        return backToChart(meant);
    }

    @PostMapping(path = "/kept-average/withdrawal", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView withdraw(@RequestParam MultiValueMap<String, String> parameters) {
        Meant meant = meant(parameters);
        Map<String, String> typed = typed(parameters);
        KeptAverage last = averages.newest(meant.about()).orElseThrow(() -> new Problem.Missing("kept average"));
        try {
            averages.withdraw(last.id(), JSON.createObjectNode().put("reason", typed.getOrDefault("out_reason", "")));
        } catch (Problem.Invalid e) {
            return page(meant, typed, told(e, "out_"), null, HttpStatus.UNPROCESSABLE_CONTENT);
        } catch (Problem.Conflict e) {
            return page(meant, typed, Map.of(), e.detail(), HttpStatus.CONFLICT);
        }
        return backToChart(meant);
    }

    private ModelAndView page(
            Meant meant,
            Map<String, String> typed,
            Map<String, String> told,
            @Nullable String stale,
            HttpStatus status) {
        ChartRequest about = meant.about();
        KeptAverage last = averages.newest(about).orElse(null);
        boolean stands = last != null && !last.withdrawn();
        Chart chart = charts.draw(about.measure().id(), meant.question());
        List<Part> parts = new ArrayList<>();
        meant.question().forEach((name, values) -> values.forEach(value -> parts.add(new Part(name, value))));
        parts.add(new Part("measure", about.measure().id()));
        Map<String, String> filled = new LinkedHashMap<>(last != null && stands ? period(last) : period(chart));
        filled.putAll(typed);
        return new ModelAndView("charts/kept-average", status)
                .addObject("unitCode", about.cohort().sites().get(0).code())
                .addObject("measure", about.title())
                .addObject("noun", new ChartWords(chart).noun())
                .addObject("whole", KeptAverageForm.points(about, ControlChart.FEWEST_POINTS))
                .addObject("filters", filters(about))
                .addObject("kept", stands ? new ChartWords(chart).kept() : null)
                .addObject("stands", stands)
                .addObject("seen", last == null ? 0 : last.version())
                .addObject("parts", parts)
                .addObject("typed", filled)
                .addObject("told", told)
                .addObject("stale", stale)
                .addObject("back", chartAddress(meant))
                .addObject("versions", last == null ? List.of() : history(averages.versions(last.id())));
    }

    /** "Place: PICU or NICU", for each filter. */
    private static List<String> filters(ChartRequest about) {
        List<String> words = new ArrayList<>();
        about.cohort()
                .filters()
                .forEach((stratum, codes) -> words.add(stratum.title() + ": "
                        + codes.stream().map(stratum::label).collect(Collectors.joining(" or "))));
        if (!about.cohort().setups().isEmpty()) {
            words.add("Set-up: " + String.join(" or ", about.cohort().setups()));
        }
        return words;
    }

    /** What would be kept first: the complete points before the first change. */
    private static Map<String, String> period(Chart chart) {
        Phase first = chart.phases().get(0);
        List<Point> complete =
                chart.points(first).stream().filter(Point::complete).toList();
        if (complete.isEmpty()) {
            return Map.of();
        }
        int end = first.first() + complete.size();
        if (chart.request().byCalendar()) {
            return Map.of(
                    "from",
                    complete.get(0).period(),
                    "to",
                    chart.points().get(end - 1).period());
        }
        YearMonth from = month(complete.get(0));
        YearMonth to = end == chart.points().size()
                ? month(chart.points().get(end - 1))
                : month(chart.points().get(end)).minusMonths(1);
        return to.isBefore(from) ? Map.of() : Map.of("from", from.toString(), "to", to.toString());
    }

    private static YearMonth month(Point point) {
        return YearMonth.from(Objects.requireNonNull(point.starts()));
    }

    private static Map<String, String> period(KeptAverage kept) {
        return kept.about().byCalendar()
                ? Map.of(
                        "from", kept.points().get(0).period(),
                        "to", kept.points().get(kept.points().size() - 1).period())
                : Map.of("from", kept.from().toString(), "to", kept.to().toString());
    }

    private static List<Shown> history(List<KeptAverage> versions) {
        List<Shown> shown = new ArrayList<>();
        for (KeptAverage kept : versions) {
            shown.add(
                    0,
                    new Shown(
                            switch (kept.status()) {
                                case "final" -> "Kept";
                                case "amended" -> "Kept anew";
                                default -> "Withdrawn";
                            },
                            AT.format(kept.writtenAt().atZone(kept.site().zone())),
                            kept.period(),
                            line(kept),
                            kept.reason()));
        }
        return shown;
    }

    private static String line(KeptAverage kept) {
        Counted total = kept.total();
        if (!kept.about().kind().grouped()) {
            return KeptAverageForm.points(kept.about(), total.x()) + " over " + total.n() + " intubations";
        }
        return kept.about().quantity().isMedian()
                ? total.n() + " intubations"
                : kept.about().quantity().count(total);
    }

    private Meant meant(MultiValueMap<String, String> parameters) {
        Site site = sites.named(parameters.getFirst("site_id"));
        MultiValueMap<String, String> question = new LinkedMultiValueMap<>();
        parameters.forEach((name, values) -> {
            List<String> given =
                    values.stream().filter(value -> !value.isBlank()).toList();
            if (!TYPED.contains(name) && !name.equals("measure") && !given.isEmpty()) {
                question.put(name, given);
            }
        });
        question.set("site_id", site.code());
        question.remove("average");
        ChartRequest about = ChartRequest.read(Question.first(parameters, "measure", ""), question, List.of(site));
        if (!KeptAverage.canBeKept(about)) {
            throw new Problem.Malformed(Fault.parameter(
                    "measure", "measure.kit", "Averages are kept of measures of encounters; choose one of these."));
        }
        return new Meant(about, question);
    }

    private static Map<String, String> typed(MultiValueMap<String, String> parameters) {
        Map<String, String> typed = new LinkedHashMap<>();
        for (String name : TYPED) {
            typed.put(name, Question.first(parameters, name, "").strip());
        }
        return typed;
    }

    private static ObjectNode question(ObjectNode body, Meant meant) {
        MultiValueMap<String, String> question = KeptAverage.question(meant.about());
        for (String name : List.of("site_id", "measure", "scheme", "by")) {
            if (question.containsKey(name)) {
                body.put(name, question.getFirst(name));
            }
        }
        ObjectNode filters = body.putObject("filters");
        KeptAverage.filters(meant.about()).forEach((name, codes) -> {
            ArrayNode list = filters.putArray(name);
            codes.forEach(list::add);
        });
        return body;
    }

    private static Map<String, String> told(Problem problem, String prefix) {
        Map<String, String> told = new LinkedHashMap<>();
        problem.faults().forEach(fault -> told.put(prefix + fault.path().substring(1), fault.mend()));
        return told;
    }

    private static String chartAddress(Meant meant) {
        MultiValueMap<String, String> asked = new LinkedMultiValueMap<>(meant.question());
        asked.set("measure", meant.about().measure().id());
        asked.set("chart", meant.about().kind().id());
        return ChartPages.address("/charts", asked);
    }

    private static ModelAndView backToChart(Meant meant) {
        RedirectView done = new RedirectView(chartAddress(meant));
        done.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(done);
    }
}
