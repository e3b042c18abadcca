package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.nio.charset.StandardCharsets;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** Looking back, as a page: what is found stands in the answer to a form alone, never in an address. */
@Needs({Right.LOOK_BACK, Right.SEE_TOUCHED})
@Controller
@ConditionalOnWebApplication
class LookBackPages {
    private static final JsonMapper JSON = new JsonMapper();
    private static final List<String> ASKED = List.of("by", "value", "from", "to", "names", "reason");

    private final LookBacks lookBacks;
    private final LookBackPaper paper;
    private final Sites sites;

    LookBackPages(LookBacks lookBacks, LookBackPaper paper, Sites sites) {
        this.lookBacks = lookBacks;
        this.paper = paper;
        this.sites = sites;
    }

    @GetMapping("/kit/look-back")
    ModelAndView page(
            @RequestParam(name = "site_id", required = false) @Nullable String siteId,
            @RequestParam(name = "item", required = false) @Nullable String item) {
        Map<String, String> typed = new LinkedHashMap<>();
        typed.put("by", LookBack.By.ITEM.code());
        if (item != null) {
            typed.put("value", item);
        }
        return page(sites.named(siteId), typed, Map.of(), HttpStatus.OK);
    }

    private ModelAndView page(Site site, Map<String, String> typed, Map<String, String> told, HttpStatus status) {
        return new ModelAndView("kit/look-back", status)
                .addObject("unitCode", site.code())
                .addObject("offered", lookBacks.offered(site))
                .addObject("names", lookBacks.names(site))
                .addObject("typed", typed)
                .addObject("told", told)
                .addObject("asked", null);
    }

    @PostMapping(path = "/kit/look-back", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    Object look(@RequestParam MultiValueMap<String, String> typed) {
        Site site = sites.named(typed.getFirst("site_id"));
        ObjectNode body = JSON.createObjectNode().put("site_id", site.code());
        for (String name : ASKED) {
            String value = typed.getFirst(name);
            if (value != null && !value.isBlank()) {
                body.put(name, value);
            }
        }
        String cycles = typed.getFirst("cycles");
        if (cycles != null && !cycles.isBlank()) {
            if (cycles.strip().matches("\\d{1,6}")) {
                body.put("cycles", Integer.parseInt(cycles.strip()));
            } else {
                body.put("cycles", cycles);
            }
        }
        Map<String, String> single = typed.toSingleValueMap();
        LookBack look;
        try {
            look = lookBacks.look(body);
        } catch (Problem.Invalid e) {
            Map<String, String> told = new LinkedHashMap<>();
            for (Fault fault : e.faults()) {
                told.put(fault.path().substring(1), fault.mend());
            }
            return page(site, single, told, HttpStatus.UNPROCESSABLE_CONTENT);
        }
        return switch (String.valueOf(typed.getFirst("form"))) {
            case "csv" ->
                LookBackApi.file(
                        LookBackApi.CSV, "look-back.csv", LookBackCsv.of(look).getBytes(StandardCharsets.UTF_8));
            case "pdf" -> LookBackApi.file(MediaType.APPLICATION_PDF, "look-back.pdf", paper.pdf(look));
            default ->
                page(site, single, Map.of(), HttpStatus.OK)
                        .addObject("asked", LookBackWords.asked(look))
                        .addObject("items", LookBackPaper.items(look))
                        .addObject("rows", LookBackPaper.rows(look))
                        .addObject("coverage", LookBackWords.coverage(look));
        };
    }
}
