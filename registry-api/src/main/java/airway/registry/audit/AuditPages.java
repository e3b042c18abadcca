package airway.registry.audit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.registry.web.Given;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpStatus;
import org.springframework.stereotype.Controller;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;
import org.springframework.web.util.UriComponentsBuilder;

/** The audit as a page and as CSV, and the state of its chain. The address holds every filter, so that it can be sent. */
@Needs(Right.READ_AUDIT)
@Controller
class AuditPages {
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM uuuu, HH:mm:ss", Locale.ENGLISH);

    private final AuditTrail trail;
    private final Chain chain;
    private final Sites sites;

    AuditPages(AuditTrail trail, Chain chain, Sites sites) {
        this.trail = trail;
        this.chain = chain;
        this.sites = sites;
    }

    /** An entry in words; empty where there is nothing to say. */
    public record Line(
            String at,
            String who,
            String what,
            String id,
            String about,
            String unit,
            String why,
            String detail,
            String seal) {}

    /** The state of the chain in words. */
    public record Shown(String sealed, String unsealed, String head, String verified, boolean broken) {}

    @GetMapping("/audit")
    ModelAndView list(@RequestParam MultiValueMap<String, String> parameters) {
        MultiValueMap<String, String> asked = Given.of(parameters);
        Long after = AuditListForm.after(asked);
        asked.remove("after");
        List<Site> units = sites.all();
        ModelAndView page = new ModelAndView("audit/audit")
                .addObject("asked", asked.toSingleValueMap())
                .addObject("units", units)
                .addObject("actions", AuditWords.ACTIONS)
                .addObject("objects", AuditWords.OBJECTS)
                .addObject("actors", trail.actors())
                .addObject("chain", shown(chain.state()));
        try {
            AuditTrail.Page list = trail.page(AuditListForm.read(asked, units), after);
            page.addObject("lines", list.lines().stream().map(AuditPages::line).toList())
                    .addObject("first", after == null ? null : address("/audit", asked, null))
                    .addObject("next", list.next() == null ? null : address("/audit", asked, list.next()))
                    .addObject("csv", address("/audit.csv", asked, null));
        } catch (Problem.Malformed e) {
            page.setStatus(HttpStatus.BAD_REQUEST);
            page.addObject(
                    "faults", e.faults().stream().map(Fault::mend).distinct().toList());
        }
        return page;
    }

    @GetMapping("/audit.csv")
    void csv(@RequestParam MultiValueMap<String, String> parameters, HttpServletResponse response) throws IOException {
        AuditFilter filter = AuditListForm.read(Given.of(parameters), sites.all());
        response.setContentType("text/csv");
        response.setCharacterEncoding(StandardCharsets.UTF_8.name());
        response.setHeader(HttpHeaders.CONTENT_DISPOSITION, "attachment; filename=\"audit.csv\"");
        PrintWriter out = response.getWriter();
        AuditCsv csv = new AuditCsv(out);
        trail.each(filter, csv::add);
        out.flush();
    }

    @PostMapping("/audit/verification")
    RedirectView verify() {
        chain.verify();
        RedirectView there = new RedirectView("/audit#chain");
        there.setStatusCode(HttpStatus.SEE_OTHER);
        return there;
    }

    private static Line line(AuditLine line) {
        return new Line(
                at(line.at()),
                line.actor().title(),
                AuditWords.what(line),
                line.objectId() == null ? "" : line.objectId().toString(),
                line.about() == null ? "" : line.about().title(),
                line.siteTitle() == null ? "" : line.siteTitle(),
                AuditWords.why(line),
                AuditWords.detail(line.detail()),
                line.seq() == null ? "not sealed yet" : "seal " + line.seq());
    }

    private static Shown shown(Chain.State state) {
        Head head = state.head();
        LastCheck check = state.check();
        ChainFault first = check == null ? null : check.first();
        String verified;
        if (check == null) {
            verified = "Never";
        } else if (first == null) {
            verified = at(check.at()) + ": all " + check.sealed() + " seals held";
        } else {
            verified = at(check.at()) + ": " + check.faults() + (check.faults() == 1 ? " place does" : " places do")
                    + " not hold. " + first.words();
        }
        return new Shown(
                state.sealed() == 0 ? "Nothing yet" : "Number " + state.sealed(),
                state.unsealed() == 0 ? "None" : String.valueOf(state.unsealed()),
                head == null ? "None: a deleted end would not be seen" : "Number " + head.seq() + ", " + at(head.at()),
                verified,
                first != null);
    }

    private static String at(Instant at) {
        return AT.format(at.atOffset(ZoneOffset.UTC)) + " UTC";
    }

    private static String address(String path, MultiValueMap<String, String> asked, @Nullable Long after) {
        UriComponentsBuilder address = UriComponentsBuilder.fromPath(path).queryParams(asked);
        if (after != null) {
            address.queryParam("after", after);
        }
        return address.encode().build().toUriString();
    }
}
