package airway.registry.reviews;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Key;
import airway.registry.web.IfMatch;
import airway.registry.web.JsonBody;
import jakarta.servlet.http.HttpServletRequest;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PutMapping;
import org.springframework.web.bind.annotation.RequestHeader;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Case reviews over HTTP. */
@Needs(Right.IMPROVE)
@RestController
@RequestMapping(path = "/api/v1/reviews", produces = MediaType.APPLICATION_JSON_VALUE)
class ReviewApi {
    private final Reviews reviews;
    private final Sites sites;

    ReviewApi(Reviews reviews, Sites sites) {
        this.reviews = reviews;
        this.sites = sites;
    }

    @GetMapping
    ObjectNode list(@RequestParam MultiValueMap<String, String> parameters) {
        Site site = sites.named(parameters.getFirst("site_id"));
        ReviewFilter filter = ReviewListForm.read(parameters, site);
        return ReviewJson.of(reviews.page(site, filter, ReviewListForm.after(parameters)));
    }

    @GetMapping("/{encounter_id}")
    ResponseEntity<ObjectNode> read(@PathVariable("encounter_id") String id) {
        return answer(HttpStatus.OK, reviews.read(Key.of(id, "record")).of());
    }

    @PutMapping(path = "/{encounter_id}", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<ObjectNode> write(
            @PathVariable("encounter_id") String id,
            HttpServletRequest request,
            @RequestHeader(name = HttpHeaders.IF_MATCH, required = false) @Nullable String ifMatch,
            @RequestHeader(name = HttpHeaders.IF_NONE_MATCH, required = false) @Nullable String ifNoneMatch) {
        int seen = IfMatch.orFirst(ifMatch, ifNoneMatch);
        Case written = reviews.write(Key.of(id, "record"), seen == 0 ? null : (Integer) seen, JsonBody.read(request));
        return answer(seen == 0 ? HttpStatus.CREATED : HttpStatus.OK, written);
    }

    @GetMapping("/{encounter_id}/versions")
    ArrayNode versions(@PathVariable("encounter_id") String id) {
        Reviews.History history = reviews.read(Key.of(id, "record"));
        return ReviewJson.of(history.versions(), history.of().site().zone());
    }

    private static ResponseEntity<ObjectNode> answer(HttpStatus status, Case one) {
        ResponseEntity.BodyBuilder answer = ResponseEntity.status(status);
        if (one.kept() != null) {
            answer.eTag(IfMatch.tag(one.kept().version()));
        }
        return answer.body(ReviewJson.of(one));
    }
}
