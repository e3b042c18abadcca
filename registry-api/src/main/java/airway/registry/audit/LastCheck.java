package airway.registry.audit;

import java.time.Instant;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/**
 * That the chain was verified, as the audit keeps it.
 *
 * @param sealed number of the newest seal then
 * @param faults how many places did not hold
 * @param first the first of them; null when all was well
 */
record LastCheck(
        Instant at, long sealed, int faults, @Nullable ChainFault first) {
    private static final JsonMapper JSON = new JsonMapper();

    static LastCheck of(Instant at, Checked checked) {
        return new LastCheck(
                at, checked.sealed(), checked.faults().size(), checked.first().orElse(null));
    }

    /** Reads it back. */
    static LastCheck of(Instant at, String detail) {
        JsonNode json = JSON.readTree(detail);
        String code = json.path("first").asString("");
        return new LastCheck(
                at,
                json.path("sealed").asLong(0),
                json.path("faults").asInt(0),
                code.isEmpty()
                        ? null
                        : new ChainFault(
                                ChainFault.Kind.valueOf(code.toUpperCase(Locale.ROOT)),
                                json.path("place").asLong(0),
                                json.path("more").asLong(0)));
    }

    /** Words and numbers alone. */
    String detail() {
        ObjectNode json = JSON.createObjectNode().put("sealed", sealed).put("faults", faults);
        if (first != null) {
            json.put("first", first.code()).put("place", first.place()).put("more", first.more());
        }
        return json.toString();
    }
}
