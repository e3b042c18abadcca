package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.util.UriComponentsBuilder;

/** What the kit keeper has to look into: a list, and closing a line of it with what was found. */
@Needs(Right.KEEP_KIT)
@Controller
class DiscrepancyPages {
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);

    private final Discrepancies discrepancies;
    private final Sites sites;

    DiscrepancyPages(Discrepancies discrepancies, Sites sites) {
        this.discrepancies = discrepancies;
        this.sites = sites;
    }

    /**
     * A line of the list.
     *
     * @param record where the record is; empty for whoever may not read it
     * @param unknown whether it can be closed with what it was
     */
    public record Line(
            UUID id,
            String what,
            String told,
            String mend,
            String reference,
            String record,
            @Nullable UUID item,
            @Nullable String itemName,
            @Nullable UUID lot,
            @Nullable String lotName,
            boolean unknown,
            String ended) {}

    @GetMapping("/kit/discrepancies")
    ModelAndView list(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return list(sites.named(siteId), Map.of(), Map.of(), "", HttpStatus.OK);
    }

    private ModelAndView list(
            Site site, Map<String, String> typed, Map<String, String> told, String clash, HttpStatus status) {
        Discrepancies.Shown shown = discrepancies.shown(site);
        return new ModelAndView("kit/discrepancies", status)
                .addObject("unitCode", site.code())
                .addObject("open", lines(shown.open(), shown.mayReadRecords()))
                .addObject("ended", lines(shown.ended(), shown.mayReadRecords()))
                .addObject("typed", typed)
                .addObject("told", told)
                .addObject("clash", clash);
    }

    private static List<Line> lines(List<Discrepancy> all, boolean mayRead) {
        return all.stream().map(one -> line(one, mayRead)).toList();
    }

    private static Line line(Discrepancy one, boolean mayRead) {
        ZoneId zone = one.site().zone();
        Discrepancy.End end = one.end();
        return new Line(
                one.id(),
                one.kind().words(),
                one.toldWords(),
                one.kind().mend(),
                "Record " + one.record().toString().substring(0, 8) + ", attempt " + one.attempt() + ", raised "
                        + at(one.since(), zone),
                mayRead ? "/records/" + one.record() : "",
                one.itemInTheEnd(),
                one.itemName(),
                one.lotInTheEnd(),
                one.lotName(),
                one.kind() == Discrepancy.Kind.ITEM_UNKNOWN,
                end == null
                        ? ""
                        : end.reason() == null
                                ? "The record no longer says so since " + at(end.at(), zone) + "."
                                : "Closed " + at(end.at(), zone) + ": " + end.reason());
    }

    private static String at(Instant moment, ZoneId zone) {
        return AT.format(moment.atZone(zone));
    }

    @PostMapping(path = "/kit/discrepancies/{id}/closing", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView close(@PathVariable String id, @RequestParam MultiValueMap<String, String> sent) {
        UUID key = Key.of(id, "discrepancy");
        Map<String, String> typed = sent.toSingleValueMap();
        Site site = discrepancies.read(key).site();
        try {
            discrepancies.close(key, ItemPages.body(typed, List.of("reason", "label"), List.of()));
        } catch (Problem.Invalid e) {
            Map<String, String> told = new HashMap<>();
            e.faults().forEach(fault -> told.put((fault.path().equals("/label") ? "l-" : "r-") + key, fault.mend()));
            return list(
                    site,
                    Map.of(
                            "id", key.toString(),
                            "reason", typed.getOrDefault("reason", ""),
                            "label", typed.getOrDefault("label", "")),
                    told,
                    "",
                    ItemPages.status(e));
        } catch (Problem.Conflict e) {
            return list(
                    site,
                    Map.of(),
                    Map.of(),
                    e.detail() + " You had typed: " + typed.getOrDefault("reason", "nothing"),
                    HttpStatus.CONFLICT);
        }
        return ItemPages.seeOther(UriComponentsBuilder.fromPath("/kit/discrepancies")
                .queryParam("site_id", site.code())
                .encode()
                .build()
                .toUriString());
    }
}
