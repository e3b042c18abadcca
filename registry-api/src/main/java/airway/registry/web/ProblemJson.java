package airway.registry.web;

import airway.registry.problem.Fault;
import java.util.List;
import java.util.Locale;
import java.util.UUID;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** A problem as RFC 9457 says: type, title, status, detail, instance, and the list of faults. */
final class ProblemJson {
    static final String MEDIA_TYPE = "application/problem+json";

    /** A page asks with a button; a program is told what to send. */
    private static final String CONFIRM = " If it is right, send its pointer in \"confirmed\".";

    private static final JsonMapper JSON = new JsonMapper();

    private ProblemJson() {}

    static String write(String slug, String title, int status, String detail, UUID request, List<Fault> faults) {
        ObjectNode out = JSON.createObjectNode();
        out.put("type", "/problems/" + slug);
        out.put("title", title);
        out.put("status", status);
        out.put("detail", detail);
        out.put("instance", "urn:uuid:" + request);
        if (!faults.isEmpty()) {
            var errors = out.putArray("errors");
            for (Fault fault : faults) {
                ObjectNode error = errors.addObject();
                error.put(fault.place().name().toLowerCase(Locale.ROOT), fault.path());
                error.put("code", fault.code());
                error.put("detail", fault.severity() == Fault.Severity.CONFIRM ? fault.mend() + CONFIRM : fault.mend());
                error.put("severity", fault.severity().name().toLowerCase(Locale.ROOT));
            }
        }
        return out.toString();
    }
}
