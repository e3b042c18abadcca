package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.survival.KaplanMeier;
import airway.stats.survival.Observation;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.ResponseBody;
import org.springframework.web.servlet.ModelAndView;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The measures of the kit by month, as a page and as JSON. */
@Needs(Right.USE_KIT)
@Controller
class KitMeasurePages {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter MONTH = DateTimeFormatter.ofPattern("MMM yyyy", Locale.ENGLISH);

    /** Below this number of cases only the count is told. Source: the registry's table of minimum numbers. */
    private static final int FEWEST = 5;

    private final KitMeasures measures;
    private final Sites sites;

    KitMeasurePages(KitMeasures measures, Sites sites) {
        this.measures = measures;
        this.sites = sites;
    }

    /** A measure on the page: in a sentence, and by month. */
    public record Shown(String id, String title, String total, List<Row> rows) {}

    /** A month of a measure. */
    public record Row(String month, String count, String share) {}

    @GetMapping("/kit/measures")
    ModelAndView page(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        Site site = sites.named(siteId);
        KitCounts counts = measures.of(site);
        List<Shown> shown = new ArrayList<>();
        for (KitCounts.Share share : KitCounts.Share.values()) {
            List<Row> rows = new ArrayList<>();
            for (KitCounts.Month month : counts.months()) {
                Proportion one = month.of(share);
                rows.add(
                        0,
                        new Row(
                                MONTH.format(month.month()),
                                one.isEmpty() ? "none" : one.x() + " of " + one.n(),
                                one.n() < FEWEST ? "" : interval(one)));
            }
            Proportion total = counts.total(share);
            shown.add(new Shown(
                    share.code(),
                    share.title(),
                    total.isEmpty()
                            ? "Nothing could be counted: no " + share.of() + "."
                            : total.x() + " of " + total.n() + " " + share.of()
                                    + (total.n() < FEWEST ? "." : ", " + interval(total) + "."),
                    rows));
        }
        shown.add(turnaround(counts));
        return new ModelAndView("kit/measures")
                .addObject("unitCode", site.code())
                .addObject("measures", shown);
    }

    private static Shown turnaround(KitCounts counts) {
        List<Row> rows = new ArrayList<>();
        for (KitCounts.Month month : counts.months()) {
            rows.add(0, new Row(MONTH.format(month.month()), sent(month.sentDays()), median(month.sentDays())));
        }
        String median = median(counts.away());
        return new Shown(
                "blade_turnaround",
                "Days until an item that was sent is ready again",
                counts.away().isEmpty()
                        ? "Nothing could be counted: no item was sent."
                        : sent(counts.away()) + (median.isEmpty() ? "" : "; " + median) + ".",
                rows);
    }

    private static String sent(List<Observation> away) {
        long back = away.stream().filter(Observation::event).count();
        return away.isEmpty() ? "none" : back + " of " + away.size() + " sent are ready again";
    }

    private static String median(List<Observation> away) {
        return away.size() < FEWEST
                ? ""
                : KitCounts.turnaround(away)
                        .toOptional()
                        .filter(curve -> curve.median().isPresent())
                        .map(KitMeasurePages::median)
                        .orElse("no median yet");
    }

    private static String median(KaplanMeier curve) {
        return "median " + days(curve.median()) + " days (95% interval " + days(curve.medianLower()) + " to "
                + (curve.medianUpper().isPresent() ? days(curve.medianUpper()) : "not known") + ")";
    }

    private static String days(OptionalDouble days) {
        return days.isPresent() ? String.format(Locale.ROOT, "%.1f", days.getAsDouble()) : "not known";
    }

    private static String interval(Proportion share) {
        Estimate estimate = KitCounts.estimate(share).orElseThrow();
        return String.format(
                Locale.ROOT,
                "%.0f%% (95%% interval %.0f%% to %.0f%%)",
                100 * estimate.value(),
                100 * estimate.lower(),
                100 * estimate.upper());
    }

    @ResponseBody
    @GetMapping(path = "/api/v1/kit/measures", produces = MediaType.APPLICATION_JSON_VALUE)
    ArrayNode json(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        KitCounts counts = measures.of(sites.named(siteId));
        ArrayNode out = JSON.createArrayNode();
        for (KitCounts.Share share : KitCounts.Share.values()) {
            ObjectNode one = put(out.addObject().put("measure", share.code()), counts.total(share));
            ArrayNode months = one.putArray("months");
            for (KitCounts.Month month : counts.months()) {
                put(months.addObject().put("month", month.month().toString()), month.of(share));
            }
        }
        ObjectNode away = put(out.addObject().put("measure", "blade_turnaround"), counts.away());
        ArrayNode months = away.putArray("months");
        for (KitCounts.Month month : counts.months()) {
            put(months.addObject().put("month", month.month().toString()), month.sentDays());
        }
        return out;
    }

    /** What cannot be computed is null. */
    private static ObjectNode put(ObjectNode out, Proportion share) {
        Estimate estimate = KitCounts.estimate(share).orElse(null);
        out.put("x", share.x()).put("n", share.n());
        out.put("value", estimate == null ? null : (Double) estimate.value());
        out.put("lower", estimate == null ? null : (Double) estimate.lower());
        return out.put("upper", estimate == null ? null : (Double) estimate.upper());
    }

    private static ObjectNode put(ObjectNode out, List<Observation> away) {
        KaplanMeier curve = KitCounts.turnaround(away).toOptional().orElse(null);
        out.put("x", away.stream().filter(Observation::event).count()).put("n", away.size());
        out.put("value", curve == null ? null : number(curve.median()));
        out.put("lower", curve == null ? null : number(curve.medianLower()));
        return out.put("upper", curve == null ? null : number(curve.medianUpper()));
    }

    private static @Nullable Double number(OptionalDouble value) {
        return value.isPresent() ? (Double) value.getAsDouble() : null;
    }
}
