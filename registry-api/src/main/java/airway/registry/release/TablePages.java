package airway.registry.release;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.problem.Fault;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import airway.stats.Estimate;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.UUID;
import org.springframework.http.ContentDisposition;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.stereotype.Controller;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;

/** Tables of counts for others, as pages: choosing one, looking at what may be told of it, telling it, what was told. */
@Needs(Right.TELL_COUNTS)
@Controller
class TablePages {
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.ENGLISH);
    private static final DateTimeFormatter MONTH = DateTimeFormatter.ofPattern("MMM yyyy", Locale.ENGLISH);

    private final Tables tables;
    private final Sites sites;

    TablePages(Tables tables, Sites sites) {
        this.tables = tables;
        this.sites = sites;
    }

    /** Something to choose. */
    public record Option(String value, String label) {}

    /** A filter that came along in the address. */
    public record Filter(String name, String value, String words) {}

    /** A line of a table; what is hidden is empty. */
    public record Line(String label, String share, String counts, String interval, boolean hidden) {}

    /** A table as it is shown. */
    public record Shown(
            String title,
            String definition,
            String what,
            String by,
            String all,
            List<Line> lines,
            int threshold,
            boolean hides) {}

    /** A table in the list of what was told. */
    public record Entry(UUID id, String title, String what, String told) {}

    /** What was told on one day to one body for one purpose. */
    public record Batch(String purpose, String told, List<Entry> tables) {}

    @GetMapping("/tables")
    ModelAndView choose(@RequestParam MultiValueMap<String, String> asked) {
        Site site = sites.named(asked.getFirst("site_id"));
        asked.set("site_id", site.code());
        ModelAndView page = page(site, asked, HttpStatus.OK);
        if (asked.containsKey("audience")) {
            preview(page, asked);
        }
        return page;
    }

    private void preview(ModelAndView page, MultiValueMap<String, String> asked) {
        try {
            page.addObject("table", shown(tables.preview(counted(asked))));
        } catch (Problem.Malformed e) {
            page.addObject("faults", e.faults().stream().map(Fault::mend).toList());
        } catch (Problem.TooSmall | Problem.GivesAway e) {
            page.addObject("refused", e.title()).addObject("why", e.detail());
        }
    }

    @PostMapping(path = "/tables", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView tell(@RequestParam MultiValueMap<String, String> asked) {
        MultiValueMap<String, String> parameters = counted(asked);
        for (String name : List.of("recipient", "purpose")) {
            parameters.set(name, TableForm.first(asked, name));
        }
        try {
            return seeOther("/tables/" + tables.tell(parameters).id());
        } catch (Problem.Invalid e) {
            Map<String, String> told = new LinkedHashMap<>();
            e.faults().forEach(fault -> told.put(fault.path().substring(1), fault.mend()));
            ModelAndView page = page(sites.named(asked.getFirst("site_id")), asked, HttpStatus.UNPROCESSABLE_CONTENT)
                    .addObject("told", told);
            preview(page, asked);
            return page;
        } catch (Problem.Malformed | Problem.TooSmall | Problem.GivesAway e) {
            ModelAndView page = page(sites.named(asked.getFirst("site_id")), asked, HttpStatus.UNPROCESSABLE_CONTENT);
            preview(page, asked);
            return page;
        }
    }

    @GetMapping("/tables/{id}")
    ModelAndView table(@PathVariable String id) {
        ToldTable told = tables.read(Key.of(id, "table"));
        Site site = told.table().spec().site();
        return new ModelAndView("release/table")
                .addObject("unitCode", site.code())
                .addObject("id", told.id())
                .addObject("table", shown(told.table()))
                .addObject("recipient", told.recipient())
                .addObject("purpose", told.purpose())
                .addObject("audience", told.table().audience().title())
                .addObject("at", DAY.format(told.at().atZone(site.zone())));
    }

    @GetMapping("/tables/{id}/csv")
    ResponseEntity<String> csv(@PathVariable String id) {
        ToldTable told = tables.read(Key.of(id, "table"));
        return ResponseEntity.ok()
                .contentType(TableApi.CSV)
                .header(
                        HttpHeaders.CONTENT_DISPOSITION,
                        ContentDisposition.attachment()
                                .filename("table.csv")
                                .build()
                                .toString())
                .body(TableJson.csv(told.table()));
    }

    private ModelAndView page(Site site, MultiValueMap<String, String> asked, HttpStatus status) {
        List<Option> by =
                new ArrayList<>(List.of(new Option(Lines.YEAR, "Year"), new Option(Lines.QUARTER, "Quarter")));
        for (Stratum stratum : Stratum.values()) {
            by.add(new Option(stratum.variable(), stratum.title()));
        }
        String lastMonth = tables.lastMonth(site).toString();
        return new ModelAndView("release/tables", status)
                .addObject("unitCode", site.code())
                .addObject("site", site)
                .addObject(
                        "measures",
                        Measure.proportions().stream()
                                .map(measure -> new Option(measure.id(), measure.title()))
                                .toList())
                .addObject("by", by)
                .addObject("audiences", List.of(Audience.values()))
                .addObject("filters", filters(asked))
                .addObject(
                        "typed",
                        Map.of(
                                "measure", TableForm.first(asked, "measure"),
                                "by", TableForm.first(asked, "by"),
                                "from", TableForm.first(asked, "from"),
                                "to", asked.containsKey("to") ? TableForm.first(asked, "to") : lastMonth,
                                "audience", TableForm.first(asked, "audience"),
                                "recipient", TableForm.first(asked, "recipient"),
                                "purpose", TableForm.first(asked, "purpose")))
                .addObject("told", Map.of())
                .addObject("lastMonth", lastMonth)
                .addObject("earlier", earlier(site));
    }

    private List<Batch> earlier(Site site) {
        Map<Batch, List<Entry>> batches = new LinkedHashMap<>();
        for (ToldTable one : tables.all(site)) {
            String told = "Told on " + DAY.format(one.at().atZone(site.zone())) + " to " + one.recipient();
            batches.computeIfAbsent(new Batch(one.purpose(), told, List.of()), none -> new ArrayList<>())
                    .add(entry(one, told));
        }
        return batches.entrySet().stream()
                .map(batch -> new Batch(batch.getKey().purpose(), batch.getKey().told(), batch.getValue()))
                .toList();
    }

    /** What says which table it is. */
    private static MultiValueMap<String, String> counted(MultiValueMap<String, String> asked) {
        MultiValueMap<String, String> parameters = new LinkedMultiValueMap<>();
        asked.forEach((name, values) -> {
            if (!List.of("recipient", "purpose").contains(name)) {
                parameters.put(name, values);
            }
        });
        return parameters;
    }

    private static List<Filter> filters(MultiValueMap<String, String> asked) {
        List<Filter> filters = new ArrayList<>();
        asked.forEach((name, values) -> Stratum.named(name)
                .ifPresent(stratum -> values.stream()
                        .filter(value -> stratum.has(value))
                        .forEach(value ->
                                filters.add(new Filter(name, value, stratum.title() + ": " + stratum.label(value))))));
        return filters;
    }

    private static Entry entry(ToldTable told, String words) {
        return new Entry(
                told.id(),
                told.table().spec().counting().title() + " by "
                        + told.table().spec().lines().title().toLowerCase(Locale.ENGLISH),
                what(told.table()),
                words);
    }

    private static String what(CountTable table) {
        TableSpec spec = table.spec();
        List<String> parts = new ArrayList<>();
        parts.add(
                spec.from().equals(spec.to())
                        ? MONTH.format(spec.from())
                        : MONTH.format(spec.from()) + " to " + MONTH.format(spec.to()));
        spec.filters()
                .forEach((stratum, codes) -> parts.add(stratum.title() + ": "
                        + String.join(" or ", codes.stream().map(stratum::label).toList())));
        return String.join("; ", parts);
    }

    private static Shown shown(CountTable table) {
        Long x = table.x();
        List<Line> lines = new ArrayList<>();
        for (CountTable.Line line : table.lines()) {
            Estimate share = TableJson.share(line);
            Long n = line.n();
            lines.add(new Line(
                    table.label(line),
                    share == null ? "" : Math.round(share.value() * 100) + "%",
                    share == null ? (n == null ? "" : "of " + n) : line.x() + " of " + n,
                    share == null
                            ? ""
                            : Math.round(share.lower() * 100) + "% to " + Math.round(share.upper() * 100) + "%",
                    share == null));
        }
        return new Shown(
                table.spec().counting().title(),
                table.spec().counting().measure().definition(),
                what(table),
                table.spec().lines().title(),
                x == null ? table.n() + " cases in all" : x + " of " + table.n() + " in all",
                lines,
                table.audience().threshold(),
                table.hidesSomething());
    }

    private static ModelAndView seeOther(String address) {
        RedirectView done = new RedirectView(address);
        done.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(done);
    }
}
