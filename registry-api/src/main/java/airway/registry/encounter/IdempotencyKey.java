package airway.registry.encounter;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.Optional;
import java.util.UUID;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Names one sending of a record, so that sending it again makes no second one.
 *
 * <p>Source: the IETF draft on the Idempotency-Key header field, a string in double quotes.
 */
public record IdempotencyKey(String value) {
    static final String HEADER = "Idempotency-Key";
    private static final Pattern FORM = Pattern.compile("[A-Za-z0-9_-]{22,200}");

    /**
     * Reads the header.
     *
     * @throws Problem.Malformed if it is missing or could be guessed
     */
    static IdempotencyKey read(@Nullable String header) {
        if (header == null || header.isBlank()) {
            throw new Problem.Malformed(Fault.parameter(
                    HEADER, "header.missing", "Send the header Idempotency-Key, a new random one for each record."));
        }
        String key = header.strip();
        if (key.length() > 1 && key.startsWith("\"") && key.endsWith("\"")) {
            key = key.substring(1, key.length() - 1);
        }
        if (!FORM.matcher(key).matches()) {
            throw new Problem.Malformed(Fault.parameter(
                    HEADER,
                    "header.form",
                    "Send a UUID, or 22 to 200 characters of A-Z, a-z, 0-9, - and _, in double quotes."));
        }
        return new IdempotencyKey(key);
    }

    /** The key as a UUID, where it is one. */
    Optional<UUID> uuid() {
        try {
            return Optional.of(UUID.fromString(value))
                    .filter(uuid -> uuid.toString().equals(value));
        } catch (IllegalArgumentException e) {
            return Optional.empty();
        }
    }
}
