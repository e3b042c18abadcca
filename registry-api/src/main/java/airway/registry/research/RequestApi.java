package airway.registry.research;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Sites;
import airway.registry.cohort.Stratum;
import airway.registry.problem.Key;
import airway.registry.web.IfMatch;
import airway.registry.web.JsonBody;
import airway.registry.web.JsonFields;
import airway.registry.web.JsonParameters;
import jakarta.servlet.http.HttpServletRequest;
import java.net.URI;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.core.io.FileSystemResource;
import org.springframework.http.ContentDisposition;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestHeader;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.ResponseStatus;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Requests for research data over HTTP, from the question to the package. */
@Needs({Right.ASK_RESEARCH, Right.JUDGE_RESEARCH})
@RestController
@RequestMapping("/api/v1/research")
class RequestApi {
    private static final Set<String> PARTS = Set.of(
            "site_id",
            "profile",
            "safe_harbor",
            "variables",
            "from",
            "to",
            "filters",
            "about",
            "purpose",
            "recipient",
            "approval_reference",
            "approval_expires");

    private final Requests requests;
    private final Packages packages;
    private final Sites sites;

    RequestApi(Requests requests, Packages packages, Sites sites) {
        this.requests = requests;
        this.packages = packages;
        this.sites = sites;
    }

    @GetMapping(path = "/requests", produces = MediaType.APPLICATION_JSON_VALUE)
    ArrayNode list(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return RequestJson.of(requests.all(sites.named(siteId)));
    }

    @Needs(Right.ASK_RESEARCH)
    @PostMapping(
            path = "/requests",
            consumes = MediaType.APPLICATION_JSON_VALUE,
            produces = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> ask(HttpServletRequest request) {
        JsonNode body = JsonBody.read(request);
        DataRequest asked = JsonParameters.told(
                PARTS,
                () -> requests.ask(JsonParameters.of(
                        body, PARTS, name -> Stratum.named(name).isPresent())));
        return ResponseEntity.created(URI.create("/api/v1/research/requests/" + asked.id()))
                .eTag(IfMatch.tag(asked.version()))
                .body(RequestJson.of(asked));
    }

    @GetMapping(path = "/requests/{id}", produces = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> read(@PathVariable String id) {
        Requests.Looked looked = requests.look(Key.of(id, "request"));
        return ResponseEntity.ok()
                .eTag(IfMatch.tag(looked.request().version()))
                .body(RequestJson.of(looked, requests.mayJudge(looked.request()) ? looked.digest() : null));
    }

    @Needs(Right.JUDGE_RESEARCH)
    @PostMapping(
            path = "/requests/{id}/approval",
            consumes = MediaType.APPLICATION_JSON_VALUE,
            produces = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> approve(
            @PathVariable String id,
            HttpServletRequest request,
            @RequestHeader(name = HttpHeaders.IF_MATCH, required = false) @Nullable String ifMatch) {
        int seen = IfMatch.version(ifMatch);
        JsonFields fields = JsonFields.of(JsonBody.read(request), Set.of("digest", "accept_loss"));
        String digest =
                fields.needed("digest", fields.text("digest", 64), "Send the digest of the data you looked at.");
        Integer acceptLoss = fields.whole("accept_loss", 1, 100);
        fields.check();
        return answer(requests.approve(Key.of(id, "request"), seen, digest, acceptLoss));
    }

    @Needs(Right.JUDGE_RESEARCH)
    @PostMapping(
            path = "/requests/{id}/refusal",
            consumes = MediaType.APPLICATION_JSON_VALUE,
            produces = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> refuse(
            @PathVariable String id,
            HttpServletRequest request,
            @RequestHeader(name = HttpHeaders.IF_MATCH, required = false) @Nullable String ifMatch) {
        int seen = IfMatch.version(ifMatch);
        return answer(requests.refuse(Key.of(id, "request"), seen, reason(request)));
    }

    @PostMapping(
            path = "/requests/{id}/withdrawal",
            consumes = MediaType.APPLICATION_JSON_VALUE,
            produces = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> withdraw(
            @PathVariable String id,
            HttpServletRequest request,
            @RequestHeader(name = HttpHeaders.IF_MATCH, required = false) @Nullable String ifMatch) {
        int seen = IfMatch.version(ifMatch);
        return answer(requests.withdraw(Key.of(id, "request"), seen, reason(request)));
    }

    @Needs(Right.ASK_RESEARCH)
    @PostMapping(path = "/requests/{id}/package", produces = MediaType.APPLICATION_JSON_VALUE)
    ObjectNode link(@PathVariable String id) {
        return RequestJson.of(packages.link(Key.of(id, "request")));
    }

    @Needs(Right.ASK_RESEARCH)
    @GetMapping(path = "/requests/{id}/package", produces = MediaType.APPLICATION_JSON_VALUE)
    ObjectNode making(@PathVariable String id) {
        return RequestJson.of(packages.making(Key.of(id, "request")));
    }

    @Needs(Right.ASK_RESEARCH)
    @ResponseStatus(HttpStatus.NO_CONTENT)
    @PostMapping("/requests/{id}/package/cancellation")
    void cancel(@PathVariable String id) {
        packages.cancel(Key.of(id, "request"));
    }

    @Needs(Right.ASK_RESEARCH)
    @GetMapping(path = "/packages/{link}", produces = "application/zip")
    ResponseEntity<FileSystemResource> fetch(@PathVariable String link) {
        return sent(packages.fetch(link));
    }

    /** A package as a file to be kept. */
    static ResponseEntity<FileSystemResource> sent(Packages.Sent sent) {
        return ResponseEntity.ok()
                .contentType(new MediaType("application", "zip"))
                .header(
                        HttpHeaders.CONTENT_DISPOSITION,
                        ContentDisposition.attachment()
                                .filename(sent.name())
                                .build()
                                .toString())
                .body(new FileSystemResource(sent.file()));
    }

    private static @Nullable String reason(HttpServletRequest request) {
        JsonFields fields = JsonFields.of(JsonBody.read(request), Set.of("reason"));
        String reason = fields.lines("reason", RequestForm.LONGEST_REASON);
        fields.check();
        return reason;
    }

    private static ResponseEntity<ObjectNode> answer(DataRequest request) {
        return ResponseEntity.ok().eTag(IfMatch.tag(request.version())).body(RequestJson.of(request));
    }
}
