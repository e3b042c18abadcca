package airway.registry.audit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Sites;
import org.springframework.http.MediaType;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.node.ObjectNode;

/** The audit over HTTP. */
@Needs(Right.READ_AUDIT)
@RestController
@RequestMapping(path = "/api/v1/audit", produces = MediaType.APPLICATION_JSON_VALUE)
class AuditApi {
    private final AuditTrail trail;
    private final Chain chain;
    private final Sites sites;

    AuditApi(AuditTrail trail, Chain chain, Sites sites) {
        this.trail = trail;
        this.chain = chain;
        this.sites = sites;
    }

    @GetMapping
    ObjectNode list(@RequestParam MultiValueMap<String, String> parameters) {
        AuditFilter filter = AuditListForm.read(parameters, sites.all());
        return AuditJson.of(trail.page(filter, AuditListForm.after(parameters)), chain.state());
    }
}
