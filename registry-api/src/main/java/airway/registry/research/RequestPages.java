package airway.registry.research;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import java.time.Instant;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.UUID;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import org.springframework.core.io.FileSystemResource;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;

/** Requests for research data as pages: all of a unit, one with what would be made of it, yes or no, and the package. */
@Needs({Right.ASK_RESEARCH, Right.JUDGE_RESEARCH})
@Controller
class RequestPages {
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.ENGLISH);
    private static final DateTimeFormatter MOMENT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);
    private static final DateTimeFormatter MONTH = DateTimeFormatter.ofPattern("MMM yyyy", Locale.ENGLISH);

    private final Requests requests;
    private final Packages packages;
    private final Sites sites;

    RequestPages(Requests requests, Packages packages, Sites sites) {
        this.requests = requests;
        this.packages = packages;
        this.sites = sites;
    }

    /** A request in the list. */
    public record Entry(UUID id, String purpose, String standing, String asked) {}

    /** A fact of a request, or a step of it. */
    public record Line(String title, String words) {}

    @GetMapping("/research/requests")
    ModelAndView list(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        Site site = sites.named(siteId);
        return new ModelAndView("research/requests")
                .addObject("unitCode", site.code())
                .addObject(
                        "requests",
                        requests.all(site).stream().map(RequestPages::entry).toList());
    }

    private static Entry entry(DataRequest request) {
        return new Entry(
                request.id(),
                request.terms().purpose(),
                request.status().words()
                        + request.left()
                                .map(at -> ". A package left on "
                                        + DAY.format(at.atZone(request.site().zone())) + ".")
                                .orElse(""),
                "Asked " + DAY.format(request.at().atZone(request.site().zone()))
                        + (Requests.own(request) ? " by you" : "") + ", for "
                        + request.terms().recipient());
    }

    @GetMapping("/research/requests/{id}")
    ModelAndView request(@PathVariable String id) {
        return page(Key.of(id, "request"), HttpStatus.OK);
    }

    @Needs(Right.JUDGE_RESEARCH)
    @PostMapping("/research/requests/{id}/approval")
    ModelAndView approve(
            @PathVariable String id,
            @RequestParam int version,
            @RequestParam(defaultValue = "") String digest,
            @RequestParam(name = "accept_loss", required = false) @Nullable Integer acceptLoss) {
        UUID key = Key.of(id, "request");
        return step(key, () -> requests.approve(key, version, digest, acceptLoss), "");
    }

    @Needs(Right.JUDGE_RESEARCH)
    @PostMapping("/research/requests/{id}/refusal")
    ModelAndView refuse(
            @PathVariable String id, @RequestParam int version, @RequestParam(defaultValue = "") String reason) {
        UUID key = Key.of(id, "request");
        return step(key, () -> requests.refuse(key, version, reason), reason);
    }

    @PostMapping("/research/requests/{id}/withdrawal")
    ModelAndView withdraw(
            @PathVariable String id, @RequestParam int version, @RequestParam(defaultValue = "") String reason) {
        UUID key = Key.of(id, "request");
        return step(key, () -> requests.withdraw(key, version, reason), reason);
    }

    @Needs(Right.ASK_RESEARCH)
    @PostMapping("/research/requests/{id}/package")
    ModelAndView make(@PathVariable String id) {
        UUID key = Key.of(id, "request");
        try {
            Packages.Link link = packages.link(key);
            return page(key, HttpStatus.OK)
                    .addObject("link", "/research/packages/" + link.secret())
                    .addObject("linkHash", link.file().sha256())
                    .addObject(
                            "linkWords",
                            link.rows() + " rows, " + link.file().bytes() / 1024 + " KiB. The link serves once, until "
                                    + at(link.expires(), link.request().site()) + ", for you alone.");
        } catch (Problem.NotApproved
                | Problem.ApprovalExpired
                | Problem.DataChanged
                | Problem.BeingMade
                | Problem.Cancelled
                | Problem.NotWritten e) {
            return page(key, HttpStatus.CONFLICT)
                    .addObject("refused", e.title())
                    .addObject("why", e.detail());
        }
    }

    /** How far it is, as a sentence for whoever waits; nothing while none is being made. */
    @Needs(Right.ASK_RESEARCH)
    @GetMapping(path = "/research/requests/{id}/package/progress", produces = MediaType.TEXT_PLAIN_VALUE)
    ResponseEntity<String> progress(@PathVariable String id) {
        return packages.making(Key.of(id, "request"))
                .map(making -> ResponseEntity.ok(making.words()))
                .orElse(ResponseEntity.noContent().build());
    }

    @Needs(Right.ASK_RESEARCH)
    @PostMapping("/research/requests/{id}/package/cancellation")
    ModelAndView cancel(@PathVariable String id) {
        UUID key = Key.of(id, "request");
        packages.cancel(key);
        RedirectView there = new RedirectView("/research/requests/" + key);
        there.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(there);
    }

    @Needs(Right.ASK_RESEARCH)
    @GetMapping("/research/packages/{link}")
    ResponseEntity<FileSystemResource> fetch(@PathVariable String link) {
        return RequestApi.sent(packages.fetch(link));
    }

    /** Takes a step, or shows the request again with why it was not taken and what was typed. */
    private ModelAndView step(UUID id, Supplier<DataRequest> step, String typed) {
        try {
            RedirectView there =
                    new RedirectView("/research/requests/" + step.get().id());
            there.setStatusCode(HttpStatus.SEE_OTHER);
            return new ModelAndView(there);
        } catch (Problem.Invalid e) {
            Map<String, String> told = new LinkedHashMap<>();
            for (Fault fault : e.faults()) {
                told.put(fault.path().substring(1), fault.mend());
            }
            return page(id, HttpStatus.UNPROCESSABLE_CONTENT)
                    .addObject("told", told)
                    .addObject("reason", typed);
        } catch (Problem.OwnRequest
                | Problem.RequestEnded
                | Problem.Stale
                | Problem.ApprovalExpired
                | Problem.Recognisable
                | Problem.TooClose
                | Problem.DataChanged
                | Problem.LossNotAccepted e) {
            return page(id, HttpStatus.CONFLICT)
                    .addObject("refused", e.title())
                    .addObject("why", e.detail())
                    .addObject("reason", typed);
        }
    }

    private ModelAndView page(UUID id, HttpStatus status) {
        Requests.Looked looked = requests.look(id);
        DataRequest request = looked.request();
        boolean open = !request.status().last();
        boolean judge = requests.mayJudge(request);
        boolean own = Requests.own(request);
        return new ModelAndView("research/request", status)
                .addObject("unitCode", request.site().code())
                .addObject("id", id)
                .addObject("version", request.version())
                .addObject("purpose", request.terms().purpose())
                .addObject("standing", request.status().words())
                .addObject("facts", facts(request))
                .addObject("steps", steps(request))
                .addObject("packages", packages(request))
                .addObject(
                        "panel",
                        OutlookWords.of(looked.outlook(), request.choice().about()))
                .addObject("digest", judge ? looked.digest() : "")
                .addObject("mayJudge", judge && open && !own)
                .addObject("mayRefuse", request.status() == Step.Status.ASKED)
                .addObject("mayWithdraw", open && (own || judge))
                .addObject("mayFetch", own && request.status() == Step.Status.APPROVED)
                .addObject("told", Map.of())
                .addObject("reason", "");
    }

    private static List<Line> facts(DataRequest request) {
        Choice choice = request.choice();
        List<Line> facts = new ArrayList<>(List.of(
                new Line("Who will hold it", request.terms().recipient() + ". " + choice.holder() + "."),
                new Line(
                        "Approval",
                        request.terms().approvalReference() + ", until "
                                + DAY.format(request.terms().approvalExpires())),
                new Line("Which intubations", which(choice))));
        if (!choice.variables().isEmpty()) {
            facts.add(new Line(
                    "By which somebody could be known",
                    String.join(
                            ", ",
                            choice.variables().stream()
                                    .map(KnownVariable::title)
                                    .toList())));
        }
        if (!choice.answers().isEmpty()) {
            facts.add(new Line(
                    "Other answers",
                    String.join(
                            ", ", choice.answers().stream().map(Answer::title).toList())));
        }
        Group about = choice.about();
        if (about != null) {
            facts.add(new Line("What it is about", about.words()));
        }
        return facts;
    }

    private static String which(Choice choice) {
        List<String> parts = new ArrayList<>();
        parts.add((choice.cohort().from() == null
                        ? "From the first"
                        : "From " + MONTH.format(choice.cohort().from()))
                + (choice.cohort().to() == null
                        ? " to the last"
                        : " to " + MONTH.format(choice.cohort().to())));
        choice.cohort()
                .filters()
                .forEach((stratum, codes) -> parts.add(stratum.title() + ": "
                        + String.join(" or ", codes.stream().map(stratum::label).toList())));
        return String.join("; ", parts);
    }

    private static List<Line> steps(DataRequest request) {
        return request.steps().stream()
                .map(step -> {
                    Approval approval = step.approval();
                    String more = step.reason() != null
                            ? " " + step.reason()
                            : approval != null && approval.acceptedLoss() != null
                                    ? " A loss of " + approval.acceptedLoss() + "% of a group was accepted."
                                    : "";
                    return new Line(
                            step.status() == Step.Status.ASKED
                                    ? "Asked"
                                    : step.status().words(),
                            at(step.at(), request.site()) + "." + more);
                })
                .toList();
    }

    private static List<Line> packages(DataRequest request) {
        return request.packages().stream()
                .map(made -> new Line(
                        "Made " + at(made.at(), request.site()),
                        (made.fetched().isEmpty()
                                        ? "Not fetched"
                                        : "Fetched "
                                                + String.join(
                                                        "; ",
                                                        made.fetched().stream()
                                                                .map(one -> at(one, request.site()))
                                                                .toList()))
                                + ". About " + OutlookJson.rounded(made.rows()) + " rows. Checksum (SHA-256): "
                                + made.sha256()))
                .toList();
    }

    private static String at(Instant moment, Site site) {
        return MOMENT.format(moment.atZone(site.zone()));
    }
}
