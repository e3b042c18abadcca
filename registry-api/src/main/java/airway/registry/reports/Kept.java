package airway.registry.reports;

import airway.registry.access.Site;
import java.time.Instant;
import java.util.Map;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/**
 * A version of a report as it is kept.
 *
 * @param frozen what it held when it was made final; null while it is written
 */
record Kept(
        Site site,
        UUID id,
        int version,
        Quarter quarter,
        Texts texts,
        @Nullable Frozen frozen,
        Instant writtenAt) {
    /**
     * The numbers of a final report, with what was made of them.
     *
     * @param cutOff the moment at which the records were read
     * @param software its version
     * @param seal the newest place in the chain over the audit, or null
     * @param figures the numbers, as the API tells them
     */
    record Frozen(Instant cutOff, String software, @Nullable Long seal, JsonNode figures, Map<Readers, Paper> papers) {}

    boolean isFinal() {
        return frozen != null;
    }

    String status() {
        return isFinal() ? "final" : "preliminary";
    }
}
