package airway.registry.quality;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortForm;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Scheme;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.time.Clock;
import java.time.YearMonth;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpStatus;
import org.springframework.stereotype.Controller;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.multipart.MultipartFile;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;
import org.springframework.web.util.UriComponentsBuilder;

/** The page of the data's quality, and the two ways to tell it of intubations counted elsewhere. */
@Needs(Right.IMPROVE)
@Controller
class QualityPages {
    /** Measures with a column in the table by month; all have a line for the whole period. */
    private static final List<Measure> BY_MONTH =
            List.of(Measure.FPS, Measure.FPS_STRICT, Measure.FPS_CLEAN, Measure.AE_ANY, Measure.AE_SEVERE);

    private static final int MOST_MONTHS = 120;
    private static final int USUAL_MONTHS = 12;
    private static final int SHOWN = 5;
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.ENGLISH);
    private static final DateTimeFormatter MONTH = DateTimeFormatter.ofPattern("MMM yyyy", Locale.ENGLISH);

    private final Quality quality;
    private final Sites sites;
    private final Clock clock;

    QualityPages(Quality quality, Sites sites, Clock clock) {
        this.quality = quality;
        this.sites = sites;
        this.clock = clock;
    }

    /** A thing found, for the page. */
    public record Line(String when, String words, String record, String mend, List<String> more, List<String> others) {}

    /** A list of things found. */
    public record Group(String id, String title, String meaning, List<Line> lines, int total, String none) {
        /** Those that are shown at once. */
        public List<Line> first() {
            return lines.subList(0, Math.min(SHOWN, lines.size()));
        }

        /** Those that are folded away. */
        public List<Line> rest() {
            return lines.subList(first().size(), lines.size());
        }
    }

    /** A month of the table. */
    public record Row(
            String month,
            int records,
            String first,
            String known,
            String detail,
            String day,
            String week,
            String captured,
            String unlikely,
            String duplicates,
            String contradictions,
            List<String> leftOut) {}

    /** A question and how often it stayed empty. */
    public record Empty(String title, String layer, String missing, String notKnown) {}

    /** A line of the summary: what, how much, and where more is told. */
    public record Sum(String title, String words, String to) {}

    /** An entry of a log without a record. */
    public record Unrecorded(int row, String when) {}

    @GetMapping("/quality")
    ModelAndView look(@RequestParam MultiValueMap<String, String> parameters) {
        Site site = sites.named(parameters.getFirst("site_id"));
        return page(site, parameters, HttpStatus.OK);
    }

    @PostMapping("/quality/counts")
    ModelAndView count(@RequestParam MultiValueMap<String, String> typed) {
        Site site = sites.named(typed.getFirst("site_id"));
        CountForm.Read read = CountForm.read(
                one(typed, "month"), one(typed, "counted"), "yes".equals(typed.getFirst("confirmed")), now(site));
        YearMonth month = read.month();
        if (month == null || !read.told().isEmpty()) {
            return again(site, typed, read.told()).addObject("unlikelyCount", read.unlikely());
        }
        quality.count(site, month, read.counted());
        RedirectView done = new RedirectView(UriComponentsBuilder.fromPath("/quality")
                        .queryParams(period(site, typed))
                        .encode()
                        .build()
                        .toUriString()
                + "#captured");
        done.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(done);
    }

    @PostMapping("/quality/log")
    ModelAndView compare(
            @RequestParam MultiValueMap<String, String> typed,
            @RequestParam(name = "file", required = false) @Nullable MultipartFile file)
            throws IOException {
        Site site = sites.named(typed.getFirst("site_id"));
        String list = file == null || file.isEmpty()
                ? one(typed, "list")
                : new String(file.getBytes(), StandardCharsets.UTF_8);
        typed.set("list", list);
        LogForm.Read read =
                LogForm.read(one(typed, "list_from"), one(typed, "list_to"), one(typed, "window"), list, now(site));
        LogForm.Log log = read.log();
        if (log == null) {
            return again(site, typed, read.told());
        }
        Quality.Compared compared = quality.compare(site, log);
        typed.set("from", log.from().toString());
        typed.set("to", log.to().toString());
        typed.remove("list");
        return page(site, period(site, typed), HttpStatus.OK)
                .addObject("compared", true)
                .addObject(
                        "comparedWords",
                        new Share(compared.entries() - compared.unmatched().size(), compared.entries()).estimate())
                .addObject("comparedRecords", compared.records())
                .addObject(
                        "unrecorded",
                        compared.unmatched().stream()
                                .map(entry -> new Unrecorded(
                                        entry.row(),
                                        DAY.format(entry.day()) + (entry.time() == null ? "" : ", " + entry.time())))
                                .toList());
    }

    private ModelAndView again(Site site, MultiValueMap<String, String> typed, List<Told> told) {
        return page(site, period(site, typed), HttpStatus.UNPROCESSABLE_CONTENT)
                .addObject("told", told)
                .addObject("typed", typed.toSingleValueMap());
    }

    private ModelAndView page(Site site, MultiValueMap<String, String> parameters, HttpStatus status) {
        ModelAndView page = new ModelAndView("quality/quality", status)
                .addObject("unitCode", site.code())
                .addObject("site", site)
                .addObject("from", one(parameters, "from"))
                .addObject("to", one(parameters, "to"))
                .addObject("typed", Map.of())
                .addObject("told", List.of())
                .addObject("windows", LogForm.WINDOWS);
        try {
            Cohort cohort = cohort(site, parameters);
            YearMonth to = cohort.to() == null ? now(site) : cohort.to();
            YearMonth from = cohort.from() == null ? to.minusMonths(USUAL_MONTHS - 1L) : cohort.from();
            if (from.isAfter(to)) {
                throw new Problem.Malformed(
                        Fault.parameter("from", "period.order", "The beginning lies ahead; choose an earlier month."));
            }
            if (from.plusMonths(MOST_MONTHS).isBefore(to.plusMonths(1))) {
                throw new Problem.Malformed(
                        Fault.parameter("from", "period.long", "Choose ten years at most, or name the beginning."));
            }
            show(page, site, quality.look(site, from, to));
        } catch (Problem.Malformed e) {
            page.setStatus(HttpStatus.BAD_REQUEST);
            page.addObject(
                    "faults", e.faults().stream().map(Fault::mend).distinct().toList());
        }
        return page;
    }

    /** Unit and period; the quality of some strata only would say little about what can be trusted. */
    private static Cohort cohort(Site site, MultiValueMap<String, String> parameters) {
        List<Fault> faults = new ArrayList<>();
        for (String name : parameters.keySet()) {
            if (!Set.of("site_id", "from", "to").contains(name)) {
                faults.add(Fault.parameter(
                        name, "parameter.unknown", "Here only the period can be chosen; leave other filters out."));
            }
        }
        return CohortForm.read(parameters, parameters.keySet(), List.of(site), faults);
    }

    private static void show(ModelAndView page, Site site, Overview overview) {
        QualityQuery.Entered entered = overview.entered();
        String words = overview.from().equals(overview.to())
                ? MONTH.format(overview.from())
                : MONTH.format(overview.from()) + " to " + MONTH.format(overview.to());
        List<Group> groups = groups(overview, site.zone());
        boolean clear = groups.stream()
                .allMatch(group -> group.total() == 0 || group.id().equals("confirmed"));
        page.addObject("period", words)
                .addObject("records", entered.records())
                .addObject("sums", sums(overview, words))
                .addObject("clear", clear && entered.records() > 0)
                .addObject("groups", groups)
                .addObject("rounded", rounded(entered.onTheHour()))
                .addObject("openAddress", records(overview, site, "warnings=open"))
                .addObject(
                        "measures", BY_MONTH.stream().map(QualityPages::title).toList())
                .addObject("leftOut", leftOut(overview, site))
                .addObject(
                        "rows",
                        overview.months().stream().map(QualityPages::row).toList())
                .addObject("captured", captured(overview))
                .addObject(
                        "toDrop",
                        overview.toDrop().stream().map(QualityPages::empty).toList())
                .addObject(
                        "questions",
                        overview.questions().stream().map(QualityPages::empty).toList())
                .addObject("fewest", Question.FEWEST);
    }

    private static List<Sum> sums(Overview overview, String period) {
        QualityQuery.Entered entered = overview.entered();
        List<Sum> sums = new ArrayList<>();
        sums.add(new Sum("Found elsewhere, recorded here", String.join(" ", captured(overview)), "#captured"));
        sums.add(new Sum(
                "Answered, first questions",
                overview.answered(Layer.FIRST).words() + "; known "
                        + overview.known(Layer.FIRST).words() + ". Records with open questions: "
                        + overview.missing().total(),
                "#missing"));
        sums.add(new Sum(
                "Answered, details",
                overview.answered(Layer.DETAIL).words() + "; known "
                        + overview.known(Layer.DETAIL).words(),
                "#empty"));
        sums.add(new Sum(
                "Made soon after",
                entered.day().n() == 0
                        ? "no value: no record of " + period + " was typed in here with a start to the minute"
                        : "within 24 hours " + entered.day().words() + "; within 7 days "
                                + entered.week().words(),
                "#months"));
        sums.add(new Sum("Not plausible", things(overview.unlikely().total(), "value", "values"), "#unlikely"));
        sums.add(new Sum(
                "Asked about and confirmed", things(overview.confirmed().total(), "answer", "answers"), "#confirmed"));
        sums.add(new Sum(
                "May be the same", things(overview.duplicates().total(), "pair or group", "pairs or groups"), "#same"));
        sums.add(new Sum(
                "Contradictory", things(overview.contradictions().total(), "answer", "answers"), "#contradictory"));
        return sums;
    }

    private static String things(int number, String one, String several) {
        return number == 0 ? "none" : String.format(Locale.ROOT, "%,d %s", number, number == 1 ? one : several);
    }

    private static List<String> captured(Overview overview) {
        List<String> sentences = new ArrayList<>();
        Share byList = overview.captured();
        Ratio byCount = overview.besideCount();
        if (byList.n() > 0) {
            sentences.add("By list: " + byList.estimate() + ".");
        }
        if (byCount.counted() > 0) {
            sentences.add("By count, not matched: " + byCount.words()
                    + ". The records need not be among those counted, so this is no share and has no interval.");
        }
        if (overview.overCounted() > 0) {
            sentences.add("Months with more records than were counted elsewhere, so that one of the two is wrong: "
                    + overview.overCounted() + ".");
        }
        if (overview.withoutCount() > 0) {
            sentences.add("No value for " + things((int) overview.withoutCount(), "month", "months")
                    + " without an independent count.");
        }
        return sentences;
    }

    private static List<Group> groups(Overview overview, ZoneId zone) {
        return List.of(
                group(
                        "missing",
                        "Missing",
                        "Questions of the first layer without an answer. \u201cNot known\u201d is an answer.",
                        overview.missing(),
                        "Every first question is answered.",
                        zone),
                group(
                        "unlikely",
                        "Not plausible",
                        "Values outside what is usual; a confirmed one may well be right.",
                        overview.unlikely(),
                        "No value is outside what is usual.",
                        zone),
                group(
                        "confirmed",
                        "Asked about and confirmed",
                        "Other answers that were odd beside another one, or late, and that the recorder said are right. They"
                                + " may be.",
                        overview.confirmed(),
                        "No other answer had to be confirmed.",
                        zone),
                group(
                        "same",
                        "May be the same",
                        "Records that start within an hour of each other, or first intubations within 12 hours with the"
                                + " same weight; the age is the same. Twins are alike too: look before one is withdrawn.",
                        overview.duplicates(),
                        "No two records look alike.",
                        zone),
                group(
                        "contradictory",
                        "Contradictory",
                        "Answers that cannot easily both be right. Nothing is changed by itself.",
                        overview.contradictions(),
                        "No answers contradict each other.",
                        zone));
    }

    private static Group group(String id, String title, String meaning, Found found, String none, ZoneId zone) {
        List<Line> lines = found.items().stream()
                .map(item -> new Line(
                        AT.format(item.start().atZone(zone)),
                        item.words(),
                        "/records/" + item.id(),
                        "/records/" + item.id() + mend(item),
                        item.more(),
                        item.others().stream().map(other -> "/records/" + other).toList()))
                .toList();
        return new Group(id, title, meaning, lines, found.total(), none);
    }

    /** Where it is mended: at the question, or, for a record that is there twice, where one of them is withdrawn. */
    private static String mend(Item item) {
        if (!item.others().isEmpty()) {
            return "/history#reason";
        }
        return item.field().isEmpty() ? "/amend" : "/amend#" + item.field();
    }

    private static @Nullable String rounded(Share onTheHour) {
        if (onTheHour.n() == 0) {
            return null;
        }
        return onTheHour.x() == onTheHour.n() && onTheHour.n() > 4
                ? "Every one of " + onTheHour.n() + " starts is on the full hour: the times are rounded."
                : "Starts on the full hour: " + onTheHour.words() + "; by chance about 1 in 60 would be.";
    }

    private static Row row(Overview.Month month) {
        boolean none = month.entered().records() == 0;
        Capture capture = month.capture();
        return new Row(
                MONTH.format(month.month()),
                month.entered().records(),
                month.answered(Layer.FIRST).words(),
                month.known(Layer.FIRST).words(),
                month.answered(Layer.DETAIL).words(),
                month.entered().day().words(),
                month.entered().week().words(),
                capture == null ? "no value" : capture.words(),
                none ? "–" : String.valueOf(month.unlikely()),
                none ? "–" : String.valueOf(month.duplicates()),
                none ? "–" : String.valueOf(month.contradictions()),
                BY_MONTH.stream()
                        .map(measure -> leftOut(month.leftOut(measure)))
                        .toList());
    }

    private static String leftOut(QualityQuery.LeftOut leftOut) {
        return leftOut.outside() + " + " + leftOut.unknown().words();
    }

    /** What each measure leaves out, in sentences. */
    private static List<Sum> leftOut(Overview overview, Site site) {
        List<Sum> sums = new ArrayList<>();
        for (Measure measure : Measure.proportions()) {
            QualityQuery.LeftOut here = overview.leftOut(measure);
            sums.add(new Sum(
                    title(measure),
                    here.outside() + " by definition; answer not known in "
                            + here.unknown().words() + " of the others",
                    records(overview, site, "left_out=" + measure.id())));
        }
        return sums;
    }

    private static String title(Measure measure) {
        return measure.title(measure.bySeverity() ? Scheme.DEFAULT : null);
    }

    /** The list of the records of the period, with one more filter. */
    private static String records(Overview overview, Site site, String filter) {
        return UriComponentsBuilder.fromPath("/records")
                .queryParam("site_id", site.code())
                .queryParam("from", overview.from())
                .queryParam("to", overview.to())
                .query(filter)
                .encode()
                .build()
                .toUriString();
    }

    private static Empty empty(Question question) {
        return new Empty(
                question.meaning().title(),
                switch (question.layer()) {
                    case FIRST -> "first questions";
                    case DETAIL -> "details";
                    default -> "optional";
                },
                question.missing().words(),
                question.notKnown().words());
    }

    private YearMonth now(Site site) {
        return YearMonth.from(clock.instant().atZone(site.zone()));
    }

    private static MultiValueMap<String, String> period(Site site, MultiValueMap<String, String> typed) {
        MultiValueMap<String, String> period = new LinkedMultiValueMap<>();
        period.set("site_id", site.code());
        for (String name : List.of("from", "to")) {
            if (!one(typed, name).isBlank()) {
                period.set(name, one(typed, name));
            }
        }
        return period;
    }

    private static String one(MultiValueMap<String, String> typed, String name) {
        String value = typed.getFirst(name);
        return value == null ? "" : value;
    }
}
