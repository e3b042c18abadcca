package airway.registry.charts;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.charts.Chart.Point;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Code;
import airway.registry.dictionary.Scheme;
import airway.registry.problem.Problem;
import airway.stats.chart.Limits;
import jakarta.servlet.http.HttpServletResponse;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Controller;
import org.springframework.ui.Model;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.util.UriComponentsBuilder;

/** The chart over time and the comparison, as pages. */
@Needs(Right.READ_CHARTS)
@Controller
class ChartPages {
    private static final String SCHEME = "scheme";
    private static final String SPLIT = "split";
    private static final List<Option> SPANS =
            List.of(new Option("month", "month"), new Option("quarter", "quarter"), new Option("year", "year"));

    private static final List<String> GROUPS = List.of("n:25", "n:50", "n:100");

    private final Charts charts;
    private final Comparisons comparisons;
    private final Sites sites;

    ChartPages(Charts charts, Comparisons comparisons, Sites sites) {
        this.charts = charts;
        this.comparisons = comparisons;
        this.sites = sites;
    }

    /** A choice in a form. */
    public record Option(String value, String label) {}

    /** A choice of the form with its name, title, chosen values and options. */
    public record Choice(String name, String title, List<String> chosen, List<Option> options) {
        /** Several at once come from the address alone; a form that knows one would forget the others. */
        public boolean several() {
            return chosen.size() > 1;
        }

        /** The chosen ones with their words. */
        public List<Option> kept() {
            return chosen.stream()
                    .map(value -> options.stream()
                            .filter(option -> option.value().equals(value))
                            .findFirst()
                            .orElse(new Option(value, value)))
                    .toList();
        }
    }

    /** A row of the table below the chart. */
    public record Row(String period, String count, String interval, String leftOut, String limits, String remark) {}

    @GetMapping("/charts")
    String chart(@RequestParam MultiValueMap<String, String> parameters, Model model, HttpServletResponse response) {
        Site site = sites.named(parameters.getFirst("site_id"));
        String measure = or(parameters.getFirst("measure"), Measure.FPS.id());
        MultiValueMap<String, String> asked = of(site, parameters, measure);
        String kind = asked.getFirst("chart");
        boolean single = Proposal.STRIP.equals(kind);
        if (Measure.named(measure).isEmpty()) {
            asked.remove("chart");
            unknown(model, response);
            asking(chartChoices(Measure.FPS.id(), asked), List.of(), site, asked, model);
            model.addAttribute("path", "/charts");
            model.addAttribute("ofKit", false);
            return "charts/charts";
        }
        if (asked.containsKey(SPLIT) && !single) {
            return panels(measure, asked, site, model, response);
        }
        try {
            Chart chart = single ? null : charts.draw(measure, asked);
            single |= chart != null && kind == null && unset(asked, "by", "from") && Proposal.few(chart);
            if (single) {
                asked.set("chart", Proposal.STRIP);
                show(charts.oneByOne(measure, asked), model);
            } else if (chart != null) {
                show(chart, asked, measure, model);
                if (chart.kept() != null) {
                    asked.set("average", Average.KEPT.id());
                }
            }
            String address = address("/api/v1/charts/" + measure, asked);
            model.addAttribute("svgAddress", address + "&format=svg");
            model.addAttribute("pngAddress", address + "&format=png");
            model.addAttribute("csvAddress", address + "&format=csv");
            model.addAttribute("tablesAddress", address("/tables", asked) + "&measure=" + measure);
        } catch (Problem.Malformed e) {
            faulty(e, model, response);
        }
        asking(chartChoices(measure, asked), more(measure, site, asked), site, asked, model);
        model.addAttribute("path", "/charts");
        model.addAttribute("ofKit", ofKit(measure));
        model.addAttribute("single", single);
        return single ? "charts/one-by-one" : "charts/charts";
    }

    /** A chart of a group beside others. */
    public record Panel(
            String label, String count, @Nullable String svg, String svgSmall, List<String> signals) {}

    private String panels(
            String measure, MultiValueMap<String, String> asked, Site site, Model model, HttpServletResponse response) {
        asking(chartChoices(measure, asked), more(measure, site, asked), site, asked, model);
        try {
            if (Panels.UNITS.equals(asked.getFirst(SPLIT))) {
                asked.remove("site_id");
            }
            Panels panels = charts.split(measure, asked);
            about(panels.request().question(), model);
            model.addAttribute("variable", panels.title());
            model.addAttribute("noun", panels.request().grouping().noun());
            model.addAttribute("drawn", panels.drawn());
            model.addAttribute("fewest", Panels.FEWEST);
            model.addAttribute("doesNotShow", ChartWords.DOES_NOT_SHOW);
            model.addAttribute("oneGroup", ChartWords.ONE_GROUP);
            List<Panel> drawn = new ArrayList<>();
            for (Panels.Panel panel : panels.panels()) {
                ChartWords words = new ChartWords(panel.chart());
                String name = "panel-" + drawn.size();
                drawn.add(new Panel(
                        panel.label(),
                        words.shows(),
                        panel.drawn() ? ChartSvg.draw(panel.chart(), ChartSvg.Size.PANEL, name) : null,
                        panel.drawn() ? ChartSvg.draw(panel.chart(), ChartSvg.Size.PHONE, name) : "",
                        panel.drawn() ? words.signals() : List.of()));
            }
            model.addAttribute("panels", drawn);
            model.addAttribute("jsonAddress", address("/api/v1/charts/" + measure, asked));
        } catch (Problem.Malformed e) {
            faulty(e, model, response);
        }
        return "charts/panels";
    }

    private static boolean unset(MultiValueMap<String, String> asked, String... names) {
        return Arrays.stream(names).noneMatch(asked::containsKey);
    }

    private static void show(OneByOne small, Model model) {
        OneByOneWords words = new OneByOneWords(small);
        Question question = small.question();
        about(question, model);
        model.addAttribute("reviewed", reviewed(question.measure()));
        model.addAttribute("why", words.why());
        model.addAttribute("rowsMean", words.rows());
        model.addAttribute("marks", question.measure() == Measure.FPS);
        model.addAttribute("svg", StripSvg.cases(small, StripSvg.Size.DESKTOP));
        model.addAttribute("svgSmall", StripSvg.cases(small, StripSvg.Size.PHONE));
        model.addAttribute(
                "count", small.watch().toOptional().isPresent() ? StripSvg.count(small, StripSvg.Size.PHONE) : "");
        model.addAttribute("years", words.years());
        model.addAttribute("gap", words.gap());
        model.addAttribute("watch", words.watch());
        model.addAttribute("sees", words.sees());
        model.addAttribute("leftOutOf", words.leftOut());
        model.addAttribute("doesNotShow", ChartWords.DOES_NOT_SHOW);
        model.addAttribute("months", small.months());
        model.addAttribute("nominal", small.nominal() ? ChartWords.NOMINAL : null);
    }

    /** What is measured, and the published figures where they are about the same kind of unit. */
    private static void about(Question question, Model model) {
        Measure measure = question.measure();
        model.addAttribute("measureTitle", question.title());
        model.addAttribute("window", measure.window());
        model.addAttribute("definition", measure.definition());
        boolean sameKind =
                question.cohort().sites().stream().allMatch(site -> site.kind().equals(measure.publishedFor()));
        model.addAttribute("published", sameKind ? measure.published() : null);
        model.addAttribute("source", measure.source());
    }

    static void show(Chart chart, MultiValueMap<String, String> asked, String measure, Model model) {
        ChartWords words = new ChartWords(chart);
        int all = chart.points().size();
        about(chart.request().question(), model);
        model.addAttribute("heading", words.heading());
        model.addAttribute("noun", words.noun());
        model.addAttribute("cases", chart.request().measure().cases().many());
        model.addAttribute("counted", words.counted());
        ChartKind kind = chart.request().kind();
        model.addAttribute("uneven", kind.grouped() && !kind.equalGroups());
        model.addAttribute("line", words.line());
        model.addAttribute("method", Method.of(chart.request()));
        model.addAttribute("empty", chart.total().n() == 0);
        model.addAttribute("svg", ChartSvg.draw(chart, ChartSvg.Size.DESKTOP));
        model.addAttribute("svgSmall", ChartSvg.draw(chart, ChartSvg.Size.PHONE));
        model.addAttribute("latest", latest(all, ChartSvg.Size.DESKTOP.most()));
        model.addAttribute("latestSmall", latest(all, ChartSvg.Size.PHONE.most()));
        model.addAttribute("shows", words.shows());
        model.addAttribute("averages", words.averages());
        String reviewed = reviewed(chart.request().measure());
        model.addAttribute("reviewed", reviewed);
        model.addAttribute("rare", reviewed != null && Proposal.rare(chart));
        model.addAttribute("kept", words.kept());
        if (KeptAverage.canBeKept(chart.request())) {
            MultiValueMap<String, String> question = new LinkedMultiValueMap<>(asked);
            question.set("measure", measure);
            List.of("from", "to", "average").forEach(question::remove);
            model.addAttribute("keepAddress", address("/kept-average", question));
            model.addAttribute(
                    "keepWords", chart.kept() == null ? "Keep this average" : "Keep it anew, or withdraw it");
        }
        model.addAttribute("signals", words.signals());
        model.addAttribute("quiet", words.quiet());
        model.addAttribute("limits", words.limits());
        model.addAttribute("notes", words.notes());
        model.addAttribute("reach", words.reach());
        model.addAttribute("cautions", words.cautions());
        model.addAttribute("doesNotShow", ChartWords.DOES_NOT_SHOW);
        Proposal proposal = Proposal.of(chart).orElse(null);
        model.addAttribute("proposal", proposal);
        if (proposal != null) {
            MultiValueMap<String, String> other = new LinkedMultiValueMap<>(asked);
            other.set("measure", measure);
            other.set("chart", proposal.kind());
            model.addAttribute("proposed", address("/charts", other));
        }
        model.addAttribute(
                "rows", chart.points().stream().map(point -> row(words, point)).toList());
    }

    /** The measure by which the cases behind a chart are reviewed one by one, or null where they are not. */
    private static @Nullable String reviewed(Measure measure) {
        Measure counts = measure.counts();
        return counts == Measure.AE_SEVERE || counts == Measure.ATTEMPTS_3PLUS ? counts.id() : null;
    }

    private static @Nullable String latest(int all, int most) {
        return all > most ? "The latest " + most + " of " + all + " points; the table has them all." : null;
    }

    private static Row row(ChartWords words, Point point) {
        Limits limits = point.limits();
        Counted counted = point.counted();
        return new Row(
                point.words(),
                words.came(point),
                point.estimate() == null || counted.n() < Percent.FEWEST
                        ? "–"
                        : words.interval(point.estimate(), counted.n()),
                leftOut(counted),
                limits == null
                        ? "–"
                        : words.value(limits.lower(), counted.n()) + " to " + words.value(limits.upper(), counted.n()),
                remark(point));
    }

    private static String remark(Point point) {
        if (!point.complete()) {
            return "not complete yet";
        }
        return point.signals().stream().map(ChartPages::remark).collect(Collectors.joining(", "));
    }

    private static String remark(Chart.Rule rule) {
        return switch (rule) {
            case BEYOND_LIMITS -> "beyond its limit";
            case LONG_RUN -> "in a long run";
            case FEW_CROSSINGS -> "";
        };
    }

    static String leftOut(Counted counted) {
        return counted.leftOut() == 0
                ? "0"
                : counted.leftOut() + (counted.unknown() == 0 ? "" : " (" + counted.unknown() + " not known)");
    }

    private static List<Choice> chartChoices(String measure, MultiValueMap<String, String> asked) {
        return choices(List.of(Measure.values()), measure, asked);
    }

    /**
     * What a chart can be asked.
     *
     * @param offered measures to choose from; one alone is not asked
     */
    static List<Choice> choices(List<Measure> offered, String measure, MultiValueMap<String, String> asked) {
        List<Choice> choices = new ArrayList<>();
        if (offered.size() > 1) {
            choices.add(measures(offered, measure));
        }
        choices.addAll(schemes(asked));
        choices.add(kinds(measure, offered.size() > 1, asked));
        ChartKind kind =
                ChartKind.named(or(asked.getFirst("chart"), usual(measure))).orElse(null);
        if (kind != null && kind.grouped()) {
            List<Option> groups = groups(or(asked.getFirst("by"), ""));
            choices.add(new Choice(
                    "by",
                    "One point for each",
                    List.of(or(asked.getFirst("by"), "month")),
                    kind.equalGroups()
                            ? groups
                            : Stream.concat(SPANS.stream(), ofKit(measure) ? Stream.of() : groups.stream())
                                    .toList()));
        }
        if (kind != null) {
            choices.add(new Choice(
                    "average",
                    "Average",
                    List.of(or(asked.getFirst("average"), Average.EACH.id())),
                    Arrays.stream(Average.values())
                            .map(average -> new Option(average.id(), average.title()))
                            .toList()));
        }
        return choices;
    }

    /** Groups of so many intubations, and that of the address, which may be another. */
    private static List<Option> groups(String by) {
        return Stream.concat(GROUPS.stream(), Stream.of(by).filter(one -> one.matches("n:[1-9][0-9]{0,3}")))
                .distinct()
                .map(one -> new Option(one, one.substring(2) + " intubations"))
                .toList();
    }

    private static boolean ofKit(String measure) {
        return Measure.named(measure).filter(Measure::ofKit).isPresent();
    }

    private static Choice kinds(String measure, boolean single, MultiValueMap<String, String> asked) {
        List<Option> options = new ArrayList<>();
        if (single && Measure.named(measure).map(ChartKind::oneByOne).orElse(true)) {
            options.add(new Option(Proposal.STRIP, "One by one, two years"));
        }
        Arrays.stream(ChartKind.values())
                .filter(kind -> Measure.named(measure).map(kind::fits).orElse(true))
                .forEach(kind -> options.add(new Option(kind.id(), kind.title())));
        return new Choice("chart", "Drawn as", List.of(or(asked.getFirst("chart"), usual(measure))), options);
    }

    private static String usual(String measure) {
        return Measure.named(measure).map(ChartKind::usual).orElse(ChartKind.P).id();
    }

    /** What the form shows; the address holds it all. */
    static void asking(
            List<Choice> choices, List<Choice> more, Site site, MultiValueMap<String, String> asked, Model model) {
        Predicate<Choice> seldom = choice -> choice.name().equals("average");
        model.addAttribute("choices", choices.stream().filter(seldom.negate()).toList());
        model.addAttribute("seldom", choices.stream().filter(seldom).toList());
        model.addAttribute("periodSet", !unset(asked, "from", "to", "average"));
        model.addAttribute("more", more);
        model.addAttribute(
                "inForce",
                more.stream().filter(choice -> !choice.chosen().isEmpty()).count());
        model.addAttribute("from", or(asked.getFirst("from"), ""));
        model.addAttribute("to", or(asked.getFirst("to"), ""));
        model.addAttribute("site", site);
    }

    /** What is chosen more seldom: charts side by side, and filters. */
    private List<Choice> more(String measure, Site site, MultiValueMap<String, String> asked) {
        List<Choice> more = new ArrayList<>();
        if (ofKit(measure)) {
            return more;
        }
        boolean points = ChartKind.named(or(asked.getFirst("chart"), usual(measure)))
                .filter(ChartKind::grouped)
                .isPresent();
        if (points) {
            List<Option> split = new ArrayList<>(List.of(new Option("", "one chart")));
            if (sites.all().size() > 1) {
                split.add(new Option(Panels.UNITS, "Unit"));
            }
            for (Stratum stratum : Stratum.values()) {
                split.add(new Option(stratum.variable(), stratum.title()));
            }
            more.add(new Choice(SPLIT, "Side by side", asked.getOrDefault(SPLIT, List.of()), split));
        }
        more.addAll(filters(site, asked));
        return more;
    }

    /** Filters by the set-up and by every coded variable. */
    private List<Choice> filters(Site site, MultiValueMap<String, String> asked) {
        List<Choice> filters = new ArrayList<>();
        filters.add(filter(Comparisons.SETUP, "Set-up", charts.setups(site), asked));
        for (Stratum stratum : Stratum.values()) {
            filters.add(filter(stratum.variable(), stratum.title(), stratum.codes(), asked));
        }
        return filters;
    }

    private static Choice filter(String name, String title, List<Code> codes, MultiValueMap<String, String> asked) {
        List<Option> options = new ArrayList<>(List.of(new Option("", "all")));
        codes.forEach(code -> options.add(new Option(code.value(), code.label())));
        return new Choice(name, title, asked.getOrDefault(name, List.of()), options);
    }

    private static Choice measures(List<Measure> offered, String measure) {
        List<Option> options = new ArrayList<>();
        for (Measure known : offered) {
            options.add(new Option(known.id(), known.title()));
        }
        return new Choice("measure", "Measure", List.of(measure), options);
    }

    /** Asked only where a scheme decides. */
    private static List<Choice> schemes(MultiValueMap<String, String> asked) {
        String chosen = asked.getFirst(SCHEME);
        return chosen == null
                ? List.of()
                : List.of(new Choice(
                        SCHEME,
                        "Severe by",
                        List.of(chosen),
                        Arrays.stream(Scheme.values())
                                .map(scheme -> new Option(scheme.name(), scheme.words()))
                                .toList()));
    }

    @GetMapping("/compare")
    String compare(@RequestParam MultiValueMap<String, String> parameters, Model model, HttpServletResponse response) {
        Site site = sites.named(parameters.getFirst("site_id"));
        String measure = or(parameters.getFirst("measure"), Measure.FPS.id());
        MultiValueMap<String, String> asked = of(site, parameters, measure);
        List<Option> by = new ArrayList<>(List.of(new Option(Comparisons.SETUP, "Set-up")));
        for (Stratum stratum : Stratum.values()) {
            by.add(new Option(stratum.variable(), stratum.title()));
        }
        List<Choice> choices = new ArrayList<>();
        choices.add(measures(Measure.proportions(), measure));
        choices.addAll(schemes(asked));
        choices.addAll(CompareChoices.of(asked, by));
        model.addAttribute("trade", TradeQuestion.links(site));
        asking(choices, filters(site, asked), site, asked, model);
        try {
            ComparisonView.of(comparisons.compare(measure, asked)).addTo(model);
            model.addAttribute("csvAddress", address("/api/v1/comparisons/" + measure, asked) + "&format=csv");
            model.addAttribute("tablesAddress", address("/tables", asked) + "&measure=" + measure);
        } catch (Problem.Malformed e) {
            faulty(e, model, response);
        }
        return "charts/compare";
    }

    static void faulty(Problem.Malformed problem, Model model, HttpServletResponse response) {
        response.setStatus(HttpServletResponse.SC_BAD_REQUEST);
        model.addAttribute(
                "faults",
                problem.faults().stream()
                        .map(fault -> named(fault.path()) + ": " + fault.mend())
                        .distinct()
                        .toList());
    }

    /** What a parameter is called on the page. */
    private static String named(String parameter) {
        return switch (parameter) {
            case "chart" -> "Drawn as";
            case "by" -> "One point for each";
            case SPLIT -> "Side by side";
            case SCHEME -> "Severe by";
            case Comparisons.SETUP -> "Set-up";
            case "site_id" -> "Unit";
            case "from", "to", "average" -> parameter.substring(0, 1).toUpperCase(Locale.ROOT) + parameter.substring(1);
            default -> Stratum.named(parameter).map(Stratum::title).orElse(parameter);
        };
    }

    /** The form again, for somebody who asked for a measure that does not exist. */
    private static void unknown(Model model, HttpServletResponse response) {
        response.setStatus(HttpServletResponse.SC_NOT_FOUND);
        model.addAttribute("faults", List.of("Measure: There is none of this name; choose one of the list."));
    }

    /** The parameters that belong to the cohort, for one unit; empty fields of a form are left out. */
    static MultiValueMap<String, String> of(Site site, MultiValueMap<String, String> parameters, String measure) {
        MultiValueMap<String, String> asked = new LinkedMultiValueMap<>();
        parameters.forEach((name, values) -> {
            List<String> given =
                    values.stream().filter(value -> !value.isBlank()).toList();
            if (!name.equals("measure") && !given.isEmpty()) {
                asked.put(name, given);
            }
        });
        // The form still holds the scheme when another measure is chosen.
        if (Measure.named(measure).filter(Measure::bySeverity).isPresent()) {
            asked.putIfAbsent(SCHEME, List.of(Scheme.DEFAULT.name()));
        } else {
            asked.remove(SCHEME);
        }
        // So do the filters, where a measure of the kit is chosen, and the groups of intubations.
        if (ofKit(measure)) {
            asked.keySet().retainAll(Question.OF_KIT);
            if (or(asked.getFirst("by"), "month").startsWith("n:")) {
                asked.remove("by");
            }
        }
        // So does the chart, which the other measure may not be drawn as.
        Measure.named(measure)
                .filter(known -> !fits(known, asked.getFirst("chart")))
                .ifPresent(known -> asked.remove("chart"));
        asked.set("site_id", site.code());
        return asked;
    }

    /** A chart that nobody knows is left to be told of. */
    private static boolean fits(Measure measure, @Nullable String chart) {
        return Proposal.STRIP.equals(chart)
                ? ChartKind.oneByOne(measure)
                : chart == null
                        || ChartKind.named(chart)
                                .map(kind -> kind.fits(measure))
                                .orElse(true);
    }

    static String address(String path, MultiValueMap<String, String> asked) {
        return UriComponentsBuilder.fromPath(path)
                .queryParams(asked)
                .encode()
                .build()
                .toUriString();
    }

    private static String or(@Nullable String value, String otherwise) {
        return value == null || value.isBlank() ? otherwise : value;
    }
}
