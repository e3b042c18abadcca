package airway.registry.encounter;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** The version that whoever amends a record has seen. */
final class IfMatch {
    private static final Pattern FORM = Pattern.compile("\"v([1-9][0-9]{0,8})\"");

    private IfMatch() {}

    /**
     * Reads the header.
     *
     * @throws Problem.Unconditional if it is missing
     * @throws Problem.Malformed if it is not the ETag of a record
     */
    static int version(@Nullable String header) {
        if (header == null || header.isBlank()) {
            throw new Problem.Unconditional();
        }
        Matcher form = FORM.matcher(header.strip());
        if (!form.matches()) {
            throw new Problem.Malformed(
                    Fault.parameter("If-Match", "header.form", "Send the ETag of the record you read, as \"v1\"."));
        }
        return Integer.parseInt(form.group(1));
    }
}
