package airway.registry.reports;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.registry.web.AskedForm;
import airway.registry.web.IfMatch;
import airway.registry.web.JsonBody;
import jakarta.servlet.http.HttpServletRequest;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.PutMapping;
import org.springframework.web.bind.annotation.RequestHeader;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Quarterly reports over HTTP. */
@RestController
@RequestMapping(path = "/api/v1/reports", produces = MediaType.APPLICATION_JSON_VALUE)
class ReportApi {
    private static final MediaType HTML = new MediaType("text", "html", StandardCharsets.UTF_8);
    private static final List<MediaType> FORMS = List.of(MediaType.APPLICATION_JSON, HTML, MediaType.APPLICATION_PDF);

    private final Reports reports;
    private final Print print;
    private final Sites sites;

    ReportApi(Reports reports, Print print, Sites sites) {
        this.reports = reports;
        this.print = print;
        this.sites = sites;
    }

    @Needs(Right.READ_CHARTS)
    @GetMapping
    ArrayNode list(@RequestParam(name = "site_id", required = false) @Nullable String unit) {
        return ReportJson.lines(reports.all(sites.named(unit)));
    }

    /** As JSON, as HTML that needs nothing else, or as PDF. */
    @Needs(Right.READ_CHARTS)
    @GetMapping(path = "/{quarter}", produces = MediaType.ALL_VALUE)
    ResponseEntity<byte[]> read(
            @PathVariable String quarter,
            @RequestParam(name = "site_id", required = false) @Nullable String unit,
            @RequestParam(name = "readers", required = false) @Nullable String readers,
            @RequestParam(name = "format", required = false) @Nullable String format,
            @RequestHeader(name = HttpHeaders.ACCEPT, required = false) @Nullable String accept) {
        MediaType form = AskedForm.of(format, accept, FORMS);
        Readers known = ReportForm.readers(readers);
        Report report = reports.read(unit, Quarter.parse(quarter));
        ResponseEntity.BodyBuilder answer = ResponseEntity.ok().contentType(form);
        if (report.kept() != null) {
            answer.eTag(IfMatch.tag(report.version()));
        }
        if (form.equals(MediaType.APPLICATION_PDF)) {
            return answer.body(print.pdf(report, known));
        }
        String text = form.equals(HTML)
                ? print.html(report, known)
                : ReportJson.of(report, known).toString();
        return answer.body(text.getBytes(StandardCharsets.UTF_8));
    }

    @Needs(Right.IMPROVE)
    @PutMapping(path = "/{quarter}", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> write(
            @PathVariable String quarter,
            @RequestParam(name = "site_id", required = false) @Nullable String unit,
            HttpServletRequest request,
            @RequestHeader(name = HttpHeaders.IF_MATCH, required = false) @Nullable String ifMatch,
            @RequestHeader(name = HttpHeaders.IF_NONE_MATCH, required = false) @Nullable String ifNoneMatch) {
        int seen = seen(ifMatch, ifNoneMatch);
        Kept kept = reports.write(unit, Quarter.parse(quarter), seen, JsonBody.read(request));
        return answer(seen == 0 ? HttpStatus.CREATED : HttpStatus.OK, kept);
    }

    @Needs(Right.IMPROVE)
    @PostMapping("/{quarter}/finalisation")
    ResponseEntity<ObjectNode> finalise(
            @PathVariable String quarter,
            @RequestParam(name = "site_id", required = false) @Nullable String unit,
            @RequestHeader(name = HttpHeaders.IF_MATCH, required = false) @Nullable String ifMatch,
            @RequestHeader(name = HttpHeaders.IF_NONE_MATCH, required = false) @Nullable String ifNoneMatch) {
        return answer(HttpStatus.OK, reports.finalise(unit, Quarter.parse(quarter), seen(ifMatch, ifNoneMatch), null));
    }

    @Needs(Right.READ_CHARTS)
    @GetMapping("/{quarter}/versions")
    ArrayNode versions(
            @PathVariable String quarter, @RequestParam(name = "site_id", required = false) @Nullable String unit) {
        return ReportJson.of(reports.versions(unit, Quarter.parse(quarter)));
    }

    private static ResponseEntity<ObjectNode> answer(HttpStatus status, Kept kept) {
        return ResponseEntity.status(status).eTag(IfMatch.tag(kept.version())).body(ReportJson.of(kept));
    }

    /** The version that was read; 0 for none yet. */
    private static int seen(@Nullable String ifMatch, @Nullable String ifNoneMatch) {
        if (ifNoneMatch == null) {
            return IfMatch.version(ifMatch);
        } else if (ifMatch != null || !ifNoneMatch.strip().equals("*")) {
            throw new Problem.Malformed(Fault.parameter(
                    "If-None-Match",
                    "header.form",
                    "Send * while nothing is written, and If-Match with the ETag you read from then on."));
        }
        return 0;
    }
}
