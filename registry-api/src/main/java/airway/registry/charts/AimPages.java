package airway.registry.charts;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.aims.Aim;
import airway.registry.aims.Aims;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Scheme;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
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

/** The aim of a unit in a sentence, with the charts that tell how it goes, on one page. */
@Needs(Right.IMPROVE)
@Controller
class AimPages {
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.UK);
    private static final Aims.Typed NOTHING = new Aims.Typed("", Measure.FPS.id(), List.of(), List.of());

    private final Aims aims;
    private final Charts charts;
    private final Sites sites;

    AimPages(Aims aims, Charts charts, Sites sites) {
        this.aims = aims;
        this.charts = charts;
        this.sites = sites;
    }

    /** A measure of the aim with its chart. */
    public record Drawn(
            String role, String title, String shows, List<String> signals, String svg, String svgSmall, String to) {}

    /** A measure to choose. */
    public record Option(String value, String label) {}

    /** What was aimed at before. */
    public record Earlier(String day, String sentence) {}

    @GetMapping("/aim")
    ModelAndView aim(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        Site site = sites.named(siteId);
        List<Aim> versions = aims.of(site);
        Aims.Typed typed = versions.isEmpty() ? NOTHING : typed(versions.get(0));
        return page(site, versions, typed, Map.of(), null, HttpStatus.OK);
    }

    @PostMapping(path = "/aim", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView write(@RequestParam MultiValueMap<String, String> fields) {
        Site site = sites.named(fields.getFirst("site_id"));
        Aims.Typed typed = new Aims.Typed(
                one(fields, "sentence"), one(fields, "outcome"), all(fields, "process"), all(fields, "balancing"));
        String seen = one(fields, "seen");
        try {
            aims.write(site, seen.matches("\\d{1,9}") ? Integer.parseInt(seen) : 0, typed);
        } catch (Problem.Invalid e) {
            Map<String, String> told = e.faults().stream()
                    .collect(Collectors.toMap(fault -> fault.path().substring(1), Fault::mend, (one, two) -> one));
            return page(site, aims.of(site), typed, told, null, HttpStatus.UNPROCESSABLE_CONTENT);
        } catch (Problem.Stale e) {
            return page(
                    site,
                    aims.of(site),
                    typed,
                    Map.of(),
                    "Somebody else has written the aim anew since you opened it. What you typed is still here; press the"
                            + " button again to put it in place of theirs, which stays readable.",
                    HttpStatus.PRECONDITION_FAILED);
        }
        RedirectView done = new RedirectView("/aim");
        done.addStaticAttribute("site_id", site.code());
        done.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(done);
    }

    private ModelAndView page(
            Site site,
            List<Aim> versions,
            Aims.Typed typed,
            Map<String, String> told,
            @Nullable String stale,
            HttpStatus status) {
        List<Drawn> drawn = new ArrayList<>();
        if (!versions.isEmpty()) {
            Aim aim = versions.get(0);
            drawn.add(drawn(site, "Outcome", aim.outcome(), "aim-0"));
            aim.process()
                    .forEach(measure -> drawn.add(drawn(site, "Is the work done?", measure, "aim-" + drawn.size())));
            aim.balancing()
                    .forEach(measure ->
                            drawn.add(drawn(site, "Does something else get worse?", measure, "aim-" + drawn.size())));
        }
        return new ModelAndView("charts/aim", status)
                .addObject("unitCode", site.code())
                .addObject("site", site)
                .addObject(
                        "sentence", versions.isEmpty() ? null : versions.get(0).sentence())
                .addObject("drawn", drawn)
                .addObject(
                        "earlier",
                        versions.stream()
                                .skip(1)
                                .map(aim ->
                                        new Earlier(DAY.format(aim.writtenAt().atZone(site.zone())), aim.sentence()))
                                .toList())
                .addObject("seen", versions.isEmpty() ? 0 : versions.get(0).version())
                .addObject("typed", typed)
                .addObject("told", told)
                .addObject("stale", stale)
                .addObject("most", Aims.MOST)
                .addObject("doesNotShow", ChartWords.DOES_NOT_SHOW)
                .addObject(
                        "measures",
                        Measure.ofEncounters().stream()
                                .map(measure -> new Option(measure.id(), measure.title()))
                                .toList());
    }

    /** By month, or by quarter where a month holds few. */
    private Drawn drawn(Site site, String role, Measure measure, String name) {
        MultiValueMap<String, String> asked = new LinkedMultiValueMap<>();
        asked.set("site_id", site.code());
        if (measure.bySeverity()) {
            asked.set("scheme", Scheme.DEFAULT.name());
        }
        Chart chart = charts.draw(measure.id(), asked);
        if (Proposal.few(chart)) {
            asked.set("by", "quarter");
            chart = charts.draw(measure.id(), asked);
        }
        ChartWords words = new ChartWords(chart);
        asked.set("measure", measure.id());
        return new Drawn(
                role,
                words.heading(),
                words.shows(),
                words.signals(),
                ChartSvg.draw(chart, ChartSvg.Size.PANEL, name),
                ChartSvg.draw(chart, ChartSvg.Size.PHONE, name),
                ChartPages.address("/charts", asked));
    }

    private static Aims.Typed typed(Aim aim) {
        return new Aims.Typed(aim.sentence(), aim.outcome().id(), ids(aim.process()), ids(aim.balancing()));
    }

    private static List<String> ids(List<Measure> measures) {
        return measures.stream().map(Measure::id).toList();
    }

    private static String one(MultiValueMap<String, String> fields, String name) {
        String value = fields.getFirst(name);
        return value == null ? "" : value;
    }

    private static List<String> all(MultiValueMap<String, String> fields, String name) {
        return fields.getOrDefault(name, List.of()).stream()
                .filter(value -> !value.isBlank())
                .toList();
    }
}
