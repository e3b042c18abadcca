package airway.registry.reports;

import airway.registry.access.Site;
import java.time.Instant;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/**
 * The report of a quarter as it stands: drafted from the records, or final.
 *
 * @param over whether the quarter is over
 * @param kept the version that counts; null while nobody wrote
 * @param figures the numbers, as the API tells them
 * @param corrections what happened to the records of a final report since; nothing for a draft
 */
record Report(
        Site site,
        Quarter quarter,
        boolean over,
        @Nullable Kept kept,
        JsonNode figures,
        Map<Readers, Paper> papers,
        Corrections corrections) {
    Paper paper(Readers readers) {
        return Objects.requireNonNull(papers.get(readers));
    }

    /** The moment at which the numbers were read. */
    Instant asOf() {
        return Instant.parse(figures.path("as_of").asString());
    }

    boolean isFinal() {
        return kept != null && kept.isFinal();
    }

    /** The version that counts; 0 while nobody wrote. */
    int version() {
        return kept == null ? 0 : kept.version();
    }

    Texts texts() {
        return kept == null ? Texts.NONE : kept.texts();
    }
}
