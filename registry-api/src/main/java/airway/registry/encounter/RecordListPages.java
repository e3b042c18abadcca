package airway.registry.encounter;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Code;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.registry.web.Given;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.time.Clock;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpStatus;
import org.springframework.stereotype.Controller;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.util.UriComponentsBuilder;

/** The list of records, as a page and as CSV. The address holds every filter, so that it can be sent. */
@Needs(Right.READ_RECORDS)
@Controller
class RecordListPages {
    private final RecordList records;
    private final DeviceSetups setups;
    private final Sites sites;
    private final Clock clock;

    RecordListPages(RecordList records, DeviceSetups setups, Sites sites, Clock clock) {
        this.records = records;
        this.setups = setups;
        this.sites = sites;
        this.clock = clock;
    }

    /** One choice of a filter. */
    public record Option(String value, String label) {}

    /**
     * A filter of the form.
     *
     * @param before the word of the sentence before it
     * @param chosen the values in force; several are shown one by one, to be taken away
     */
    public record Choice(String name, String title, String before, List<String> chosen, List<Option> options) {
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

    /** A link that changes one thing about the list. */
    public record Way(String label, String address) {}

    @GetMapping("/records")
    ModelAndView list(@RequestParam MultiValueMap<String, String> parameters) {
        Site site = sites.named(parameters.getFirst("site_id"));
        MultiValueMap<String, String> asked = Given.of(parameters);
        RecordCursor after = RecordListForm.after(asked);
        asked.remove("after");
        List<Choice> more = more(site, asked);
        ModelAndView page = new ModelAndView("encounter/records")
                .addObject("site", site)
                .addObject("from", first(asked, "from"))
                .addObject("to", first(asked, "to"))
                .addObject("sentence", sentence(asked))
                .addObject("more", more)
                .addObject(
                        "inForce",
                        more.stream()
                                .filter(choice -> !choice.chosen().isEmpty())
                                .count())
                .addObject("periods", periods(asked))
                .addObject("withdrawn", asked.containsKey("withdrawn"));
        try {
            RecordFilter filter = RecordListForm.read(asked, site);
            RecordList.Page list = records.page(site, filter, after);
            page.addObject("count", count(list.count(), filter))
                    .addObject(
                            "lines",
                            list.lines().stream()
                                    .map(line -> RecordWords.of(line, site.zone()))
                                    .toList())
                    .addObject("looser", looser(list, asked))
                    .addObject("first", after == null ? null : address("/records", asked))
                    .addObject(
                            "next",
                            list.next() == null
                                    ? null
                                    : with(asked, "after", list.next().encoded()))
                    .addObject("csv", address("/records.csv", asked))
                    .addObject("withdrawnCount", list.withdrawn())
                    .addObject("withdrawnAddress", withdrawn(asked))
                    .addObject("countingAddress", without(asked, Set.of("withdrawn")));
        } catch (Problem.Malformed e) {
            if (e.faults().stream().anyMatch(fault -> fault.path().equals("after"))) {
                throw e;
            }
            page.setStatus(HttpStatus.BAD_REQUEST);
            page.addObject(
                    "faults", e.faults().stream().map(Fault::mend).distinct().toList());
        }
        return page;
    }

    @GetMapping("/records.csv")
    void csv(@RequestParam MultiValueMap<String, String> parameters, HttpServletResponse response) throws IOException {
        Site site = sites.named(parameters.getFirst("site_id"));
        RecordFilter filter = RecordListForm.read(Given.of(parameters), site);
        response.setContentType("text/csv");
        response.setCharacterEncoding(StandardCharsets.UTF_8.name());
        response.setHeader(HttpHeaders.CONTENT_DISPOSITION, "attachment; filename=\"records.csv\"");
        PrintWriter out = response.getWriter();
        RecordListCsv csv = new RecordListCsv(out, site.zone());
        records.each(site, filter, csv::add);
        out.flush();
    }

    private static String count(int count, RecordFilter filter) {
        String number = count > RecordListQuery.MOST_COUNTED
                ? String.format("More than %,d", RecordListQuery.MOST_COUNTED)
                : String.format("%,d", count);
        String what = (filter.withdrawn() ? " withdrawn " : " ") + (count == 1 ? "intubation" : "intubations");
        List<String> words =
                filter.parts().stream().map(RecordFilter.Part::words).toList();
        return number + what + (words.isEmpty() ? "" : " " + String.join(", ", words));
    }

    private static List<Choice> sentence(MultiValueMap<String, String> asked) {
        List<Code> ages = new ArrayList<>(List.of(RecordListForm.UNDER_A_YEAR));
        ages.addAll(Stratum.AGE_BAND.codes());
        return List.of(
                choice(
                        "tracheal_attempts",
                        "Attempts",
                        "with",
                        "any number of attempts",
                        RecordFilter.Choice.codes(RecordFilter.Attempts.values()),
                        asked),
                choice(
                        "fps",
                        "First pass",
                        "and",
                        "any result",
                        RecordFilter.Choice.codes(RecordFilter.FirstPass.values()),
                        asked),
                choice("age_band", "Age", "at age", "any", ages, asked),
                choice(
                        "warnings",
                        "Warnings",
                        "showing",
                        "all records",
                        RecordFilter.Choice.codes(RecordFilter.Warning.values()),
                        asked));
    }

    private List<Choice> more(Site site, MultiValueMap<String, String> asked) {
        List<Choice> more = new ArrayList<>();
        List<Code> known = setups.all(site).stream()
                .map(setup -> new Code(setup.id(), setup.title()))
                .toList();
        more.add(choice("device_setup_id", "Set-up", "", "all", known, asked));
        more.add(choice("left_out", "Left out of", "", "all", RecordListForm.measures(), asked));
        for (Stratum stratum : Stratum.values()) {
            if (stratum != Stratum.AGE_BAND) {
                more.add(choice(stratum.variable(), stratum.title(), "", "all", stratum.codes(), asked));
            }
        }
        return more;
    }

    private static Choice choice(
            String name,
            String title,
            String before,
            String any,
            List<Code> codes,
            MultiValueMap<String, String> asked) {
        List<Option> options = Stream.concat(
                        Stream.of(new Option("", any)),
                        codes.stream().map(code -> new Option(code.value(), InWords.lower(code.label()))))
                .toList();
        return new Choice(name, title, before, asked.getOrDefault(name, List.of()), options);
    }

    private List<Way> periods(MultiValueMap<String, String> asked) {
        YearMonth now = YearMonth.from(clock.instant().atZone(clock.getZone()));
        YearMonth quarter = now.minusMonths((now.getMonthValue() - 1) % 3);
        Map<String, YearMonth> from = new LinkedHashMap<>();
        from.put("This month", now);
        from.put("Last month", now.minusMonths(1));
        from.put("This quarter", quarter);
        from.put("Last 12 months", now.minusMonths(11));
        List<Way> ways = new ArrayList<>();
        from.forEach((label, start) -> {
            MultiValueMap<String, String> changed = new LinkedMultiValueMap<>(asked);
            changed.set("from", start.toString());
            changed.set("to", label.equals("Last month") ? start.toString() : now.toString());
            ways.add(new Way(label, address("/records", changed)));
        });
        ways.add(new Way("Any time", without(asked, Set.of("from", "to"))));
        return ways;
    }

    private static List<Way> looser(RecordList.Page list, MultiValueMap<String, String> asked) {
        return list.looser().stream()
                .filter(one -> one.count() > 0)
                .map(one -> new Way(
                        "Without \u201c" + one.part().words() + "\u201d there "
                                + (one.count() == 1 ? "is 1" : "are " + one.count()),
                        without(asked, one.part().names())))
                .toList();
    }

    private static String withdrawn(MultiValueMap<String, String> asked) {
        MultiValueMap<String, String> period = new LinkedMultiValueMap<>(asked);
        period.keySet().retainAll(Set.of("site_id", "from", "to"));
        return with(period, "withdrawn", "yes");
    }

    private static String with(MultiValueMap<String, String> asked, String name, String value) {
        MultiValueMap<String, String> changed = new LinkedMultiValueMap<>(asked);
        changed.set(name, value);
        return address("/records", changed);
    }

    private static String without(MultiValueMap<String, String> asked, Set<String> names) {
        MultiValueMap<String, String> changed = new LinkedMultiValueMap<>(asked);
        names.forEach(changed::remove);
        return address("/records", changed);
    }

    private static String first(MultiValueMap<String, String> asked, String name) {
        String value = asked.getFirst(name);
        return value == null ? "" : value;
    }

    private static String address(String path, MultiValueMap<String, String> asked) {
        return UriComponentsBuilder.fromPath(path)
                .queryParams(asked)
                .encode()
                .build()
                .toUriString();
    }
}
