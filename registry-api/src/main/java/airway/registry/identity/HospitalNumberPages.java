package airway.registry.identity;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** Looking at the hospital number of a record, finding the records of one child, erasing a child's number. */
/*
 * What was typed or found stands in the answer to a form alone, never in an address: a page that is opened again, or
 * sent on, shows nothing.
 */
@Needs(Right.SEE_IDENTITY)
@Controller
@ConditionalOnWebApplication
class HospitalNumberPages {
    private static final JsonMapper JSON = new JsonMapper();
    private static final String COVERED = "covered";

    private final HospitalNumbers numbers;
    private final Sites sites;

    HospitalNumberPages(HospitalNumbers numbers, Sites sites) {
        this.numbers = numbers;
        this.sites = sites;
    }

    /** A record of the child that was looked for. */
    public record Line(UUID id, String when, String state) {}

    @PostMapping(path = "/records/{id}/hospital-number", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView look(@PathVariable String id, @RequestParam MultiValueMap<String, String> typed) {
        UUID record = Key.of(id, "record");
        ModelAndView page = new ModelAndView("identity/look")
                .addObject("unitCode", typed.getFirst("site_id"))
                .addObject("id", record)
                .addObject("reasons", Purpose.Code.TO_LOOK)
                .addObject("typed", typed.toSingleValueMap())
                .addObject("told", Map.of());
        try {
            page.addObject(
                    "number",
                    numbers.look(record, body(typed, "reason_code", "reason_text"))
                            .shown());
        } catch (Problem.Invalid e) {
            page.addObject("told", told(e)).setStatus(HttpStatus.UNPROCESSABLE_CONTENT);
        }
        return page;
    }

    @GetMapping("/child")
    ModelAndView child(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return child(sites.named(siteId), Map.of());
    }

    private static ModelAndView child(Site site, Map<String, String> told) {
        return new ModelAndView("identity/child")
                .addObject("unitCode", site.code())
                .addObject("told", told);
    }

    @PostMapping(path = "/child", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView find(@RequestParam MultiValueMap<String, String> typed) {
        Site site = sites.named(typed.getFirst("site_id"));
        try {
            List<Line> lines = numbers.find(site, body(typed, HospitalNumberForm.NUMBER)).stream()
                    .map(record -> line(record, site.zone()))
                    .toList();
            return child(site, Map.of()).addObject("lines", lines);
        } catch (Problem.Invalid e) {
            ModelAndView page = child(site, told(e)).addObject("number", typed.getFirst(HospitalNumberForm.NUMBER));
            page.setStatus(HttpStatus.UNPROCESSABLE_CONTENT);
            return page;
        }
    }

    @Needs(Right.ERASE_IDENTITY)
    @GetMapping("/child/erase")
    ModelAndView erase(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return erase(sites.named(siteId), Map.of());
    }

    private static ModelAndView erase(Site site, Map<String, String> typed) {
        return new ModelAndView("identity/erase")
                .addObject("unitCode", site.code())
                .addObject("reasons", Purpose.Code.TO_ERASE)
                .addObject("typed", typed)
                .addObject("told", Map.of());
    }

    /** Asks once more with the number of records, and erases when that was answered. */
    @Needs(Right.ERASE_IDENTITY)
    @PostMapping(path = "/child/erase", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView erase(@RequestParam MultiValueMap<String, String> typed) {
        Site site = sites.named(typed.getFirst("site_id"));
        boolean sure = "yes".equals(typed.getFirst("sure"));
        ObjectNode body = body(typed, HospitalNumberForm.NUMBER, "reason_code", "reason_text");
        if (sure) {
            numbers.uncovered(site, String.valueOf(typed.getFirst(COVERED)))
                    .ifPresent(number -> body.put(HospitalNumberForm.NUMBER, number));
        }
        ModelAndView page = erase(site, typed.toSingleValueMap());
        try {
            HospitalNumberForm.Erasure erasure = HospitalNumberForm.erasure(body);
            if (sure) {
                return page.addObject("erased", numbers.erase(site, erasure));
            }
            ObjectNode asked = JSON.createObjectNode()
                    .put(HospitalNumberForm.NUMBER, erasure.number().shown());
            return page.addObject("records", numbers.find(site, asked).size())
                    .addObject("reason", erasure.why().code().label())
                    .addObject(COVERED, numbers.covered(site, erasure.number().shown()));
        } catch (Problem.Invalid e) {
            page.addObject("told", told(e)).setStatus(HttpStatus.UNPROCESSABLE_CONTENT);
            return page;
        }
    }

    private static ObjectNode body(MultiValueMap<String, String> typed, String... names) {
        ObjectNode body = JSON.createObjectNode();
        for (String name : names) {
            String value = typed.getFirst(name);
            if (value != null && !value.isBlank()) {
                body.put(name, value);
            }
        }
        return body;
    }

    private static Map<String, String> told(Problem problem) {
        Map<String, String> told = new LinkedHashMap<>();
        for (Fault fault : problem.faults()) {
            String field = fault.path().substring(1);
            told.put(field, field.equals("reason_code") ? "Choose why." : fault.mend());
        }
        return told;
    }

    private static Line line(HospitalNumberStore.Of record, ZoneId zone) {
        String form = switch (record.precision()) {
            case "minute" -> "d MMM yyyy, HH:mm";
            case "day" -> "d MMM yyyy";
            case "month" -> "MMM yyyy";
            default -> "'Day not known'";
        };
        return new Line(
                record.id(),
                DateTimeFormatter.ofPattern(form, Locale.ENGLISH)
                        .format(record.startedAt().atZone(zone)),
                record.withdrawn() ? "Withdrawn: it counts nowhere." : "");
    }
}
