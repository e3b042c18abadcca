package airway.registry.charts;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.charts.ChartPages.Choice;
import airway.registry.charts.ChartPages.Option;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.registry.web.Given;
import airway.stats.Estimate;
import jakarta.servlet.http.HttpServletResponse;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.DoubleStream;
import org.springframework.stereotype.Controller;
import org.springframework.ui.Model;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;

/** One's own first attempts and the bands of a unit, on one page. Another person's have no address. */
@Needs(Right.READ_CHARTS)
@Controller
class LearningPages {
    private final Learning learning;
    private final Sites sites;

    LearningPages(Learning learning, Sites sites) {
        this.learning = learning;
        this.sites = sites;
    }

    /** A set-up one has used, in words, and where it stands alone. */
    public record Used(String words, String address) {}

    /** A band of a unit: its words, how many people, what was counted. */
    public record Row(String label, String people, String count, String interval, String unknown) {}

    /** The bands by one variable. */
    public record Table(String title, String told, List<Row> rows) {}

    @GetMapping("/learning")
    String learning(@RequestParam MultiValueMap<String, String> parameters, Model model, HttpServletResponse response) {
        Site site = sites.named(parameters.getFirst("site_id"));
        MultiValueMap<String, String> asked = Given.of(parameters);
        asked.set("site_id", site.code());
        model.addAttribute("site", site);
        try {
            OwnCurve own = learning.own(asked);
            own(own, asked, model);
            model.addAttribute("tables", tables(learning.bands(asked)));
            choices(own, asked, model);
        } catch (Problem.Malformed e) {
            response.setStatus(HttpServletResponse.SC_BAD_REQUEST);
            model.addAttribute(
                    "faults", e.faults().stream().map(Fault::mend).distinct().toList());
        }
        return "charts/learning";
    }

    private static void own(OwnCurve own, MultiValueMap<String, String> asked, Model model) {
        OneByOneWords years = new OneByOneWords(own.strip());
        ChartWords run = new ChartWords(own.run());
        model.addAttribute("measureTitle", own.question().title());
        model.addAttribute("definition", own.measure().definition());
        model.addAttribute("onlyYours", LearningWords.ONLY_YOURS);
        model.addAttribute("none", own.cases().isEmpty());
        model.addAttribute("soFar", LearningWords.soFar(own));
        model.addAttribute("used", used(own, asked));
        model.addAttribute("curve", LearningWords.curve(own));
        model.addAttribute("cannot", LearningWords.CANNOT);
        model.addAttribute("curveSvg", StripSvg.learning(own, StripSvg.Size.DESKTOP));
        model.addAttribute("curveSvgSmall", StripSvg.learning(own, StripSvg.Size.PHONE));
        model.addAttribute("rowsMean", years.rows());
        model.addAttribute("marks", own.measure() == Measure.FPS);
        model.addAttribute("strip", StripSvg.cases(own.strip(), StripSvg.Size.DESKTOP));
        model.addAttribute("stripSmall", StripSvg.cases(own.strip(), StripSvg.Size.PHONE));
        model.addAttribute("years", years.years());
        model.addAttribute("run", ChartSvg.draw(own.run(), ChartSvg.Size.DESKTOP));
        model.addAttribute("runSmall", ChartSvg.draw(own.run(), ChartSvg.Size.PHONE));
        model.addAttribute("runShows", run.shows());
        model.addAttribute("runSignals", run.signals());
        model.addAttribute("nominal", own.counted().nominal() > 0 ? ChartWords.NOMINAL : null);
        model.addAttribute("jsonAddress", ChartPages.address("/api/v1/learning/me", asked));
    }

    private static List<Used> used(OwnCurve own, MultiValueMap<String, String> asked) {
        List<Used> used = new ArrayList<>();
        own.setups().forEach((setup, counted) -> {
            MultiValueMap<String, String> alone = Given.of(asked);
            alone.set(Comparisons.SETUP, setup.value());
            used.add(new Used(
                    LearningWords.used(setup, counted),
                    setup.equals(Stratum.BLANK) ? "" : ChartPages.address("/learning", alone)));
        });
        return used;
    }

    private static List<Table> tables(Bands bands) {
        List<Table> tables = new ArrayList<>();
        bands.of()
                .forEach((stratum, all) -> tables.add(new Table(
                        stratum.title(),
                        LearningWords.hidden(stratum, all),
                        all.stream()
                                .filter(Bands.Band::shown)
                                .map(LearningPages::row)
                                .toList())));
        return tables;
    }

    private static Row row(Bands.Band band) {
        Counted counted = band.counted();
        Estimate estimate = Judging.wilson(counted);
        return new Row(
                band.label(),
                String.valueOf(band.people()),
                Percent.count(counted),
                estimate == null || counted.n() < Percent.FEWEST ? "–" : Percent.interval(estimate, counted.n()),
                String.valueOf(counted.leftOut()));
    }

    private static void choices(OwnCurve own, MultiValueMap<String, String> asked, Model model) {
        List<Choice> choices = new ArrayList<>();
        choices.add(new Choice(
                "measure",
                "Measure",
                List.of(own.measure().id()),
                Learning.MEASURES.stream()
                        .map(measure -> new Option(measure.id(), measure.title()))
                        .toList()));
        List<Option> setups = new ArrayList<>(List.of(new Option("", "all")));
        own.setups().keySet().stream()
                .filter(setup -> !setup.equals(Stratum.BLANK))
                .forEach(setup -> setups.add(new Option(setup.value(), setup.label())));
        choices.add(new Choice(Comparisons.SETUP, "Set-up", asked.getOrDefault(Comparisons.SETUP, List.of()), setups));
        choices.add(new Choice(
                Stratum.DEVICE_MODE.variable(),
                Stratum.DEVICE_MODE.title(),
                asked.getOrDefault(Stratum.DEVICE_MODE.variable(), List.of()),
                all(Stratum.DEVICE_MODE)));
        choices.add(levels("acceptable", "Level aimed for", own.levels().acceptable(), 0.1, 0.2, 0.3, 0.4));
        choices.add(levels("unacceptable", "Not enough", own.levels().unacceptable(), 0.2, 0.3, 0.4, 0.5, 0.6, 0.7));
        model.addAttribute("choices", choices);
        List<Choice> more = new ArrayList<>();
        for (Stratum stratum : List.of(Stratum.AGE_BAND, Stratum.DIFFICULTY_PREDICTED, Stratum.LOCATION)) {
            more.add(new Choice(
                    stratum.variable(),
                    stratum.title(),
                    asked.getOrDefault(stratum.variable(), List.of()),
                    all(stratum)));
        }
        model.addAttribute("more", more);
        model.addAttribute(
                "inForce",
                more.stream().filter(choice -> !choice.chosen().isEmpty()).count());
        model.addAttribute("from", String.join("", asked.getOrDefault("from", List.of())));
        model.addAttribute("to", String.join("", asked.getOrDefault("to", List.of())));
    }

    private static List<Option> all(Stratum stratum) {
        List<Option> options = new ArrayList<>(List.of(new Option("", "all")));
        stratum.codes().forEach(code -> options.add(new Option(code.value(), code.label())));
        return options;
    }

    /** The usual shares that fail, told as those that succeed, with the one that was asked for. */
    private static Choice levels(String name, String title, double chosen, double... usual) {
        return new Choice(
                name,
                title,
                List.of(String.valueOf(chosen)),
                DoubleStream.concat(DoubleStream.of(usual), DoubleStream.of(chosen))
                        .sorted()
                        .distinct()
                        .mapToObj(share -> new Option(String.valueOf(share), LearningWords.hundred(1 - share)))
                        .toList());
    }
}
