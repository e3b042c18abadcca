package airway.registry.charts;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.cohort.Measure;
import airway.registry.problem.Problem;
import jakarta.servlet.http.HttpServletResponse;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpHeaders;
import org.springframework.http.ResponseEntity;
import org.springframework.stereotype.Controller;
import org.springframework.ui.Model;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.RequestHeader;
import org.springframework.web.bind.annotation.RequestParam;

/**
 * How the kit does, over time, for those who keep it: all its measures on one page, and each by itself. They see the same charts
 * as readers of charts, of the kit alone and without filters, since these would tell of children.
 */
@Needs(Right.USE_KIT)
@Controller
class KitMeasurePages {
    private final Charts charts;
    private final Sites sites;

    KitMeasurePages(Charts charts, Sites sites) {
        this.charts = charts;
        this.sites = sites;
    }

    /** A measure on the page of all. */
    public record Panel(
            String id,
            String heading,
            String definition,
            String shows,
            @Nullable String svg,
            String svgSmall,
            List<String> said) {}

    @GetMapping("/kit/measures")
    String all(@RequestParam(name = "site_id", required = false) @Nullable String siteId, Model model) {
        Site site = sites.named(siteId);
        MultiValueMap<String, String> asked = new LinkedMultiValueMap<>();
        asked.set("site_id", site.code());
        List<Panel> panels = new ArrayList<>();
        for (Measure measure : Measure.aboutKit()) {
            panels.add(panel(measure, charts.draw(measure.id(), asked)));
        }
        model.addAttribute("unitCode", site.code());
        model.addAttribute("panels", panels);
        return "charts/kit-measures";
    }

    private static Panel panel(Measure measure, Chart chart) {
        ChartWords words = new ChartWords(chart);
        boolean drawn = chart.points().stream().anyMatch(point -> point.value() != null);
        List<String> said = new ArrayList<>(words.signals());
        said.addAll(words.limits());
        return new Panel(
                measure.id(),
                words.heading(),
                measure.definition(),
                words.shows(),
                drawn ? ChartSvg.draw(chart, ChartSvg.Size.PANEL, measure.id()) : null,
                drawn ? ChartSvg.draw(chart, ChartSvg.Size.PHONE, measure.id()) : "",
                said);
    }

    @GetMapping("/kit/measures/{measure}")
    String one(
            @PathVariable String measure,
            @RequestParam MultiValueMap<String, String> parameters,
            Model model,
            HttpServletResponse response) {
        Measure known = known(measure);
        Site site = sites.named(parameters.getFirst("site_id"));
        MultiValueMap<String, String> asked = ChartPages.of(site, parameters, measure);
        asked.keySet().retainAll(Question.OF_KIT);
        if (Proposal.STRIP.equals(asked.getFirst("chart"))) {
            asked.remove("chart");
        }
        try {
            ChartPages.show(charts.draw(measure, asked), asked, measure, model);
            model.addAttribute("proposal", null);
            String address = ChartPages.address("/api/v1/kit/measures/" + measure, asked);
            model.addAttribute("svgAddress", address + "&format=svg");
            model.addAttribute("pngAddress", address + "&format=png");
            model.addAttribute("csvAddress", address + "&format=csv");
        } catch (Problem.Malformed e) {
            ChartPages.faulty(e, model, response);
        }
        ChartPages.asking(ChartPages.choices(List.of(known), measure, asked), List.of(), site, asked, model);
        model.addAttribute("path", "/kit/measures/" + measure);
        model.addAttribute("ofKit", true);
        model.addAttribute("single", false);
        return "charts/charts";
    }

    @GetMapping("/api/v1/kit/measures/{measure}")
    ResponseEntity<byte[]> numbers(
            @PathVariable String measure,
            @RequestParam MultiValueMap<String, String> parameters,
            @RequestHeader(name = HttpHeaders.ACCEPT, required = false) @Nullable String accept) {
        known(measure);
        Question.onlyOf(Question.OF_KIT, parameters);
        return ChartApi.chart(charts.draw(measure, parameters), parameters.getFirst("format"), accept);
    }

    private static Measure known(String measure) {
        return Measure.named(measure)
                .filter(Measure.aboutKit()::contains)
                .orElseThrow(() -> new Problem.Missing("measure"));
    }
}
