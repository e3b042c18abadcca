package airway.registry.web;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** The version that whoever amends something has seen. */
public final class IfMatch {
    /** What the header must look like, as a pattern for programs. */
    public static final String FORM = "^\"v[1-9][0-9]{0,8}\"$";

    private static final Pattern TAG = Pattern.compile("\"v([1-9][0-9]{0,8})\"");

    private IfMatch() {}

    /**
     * Reads the header.
     *
     * @throws Problem.Unconditional if it is missing
     * @throws Problem.Malformed if it is not an ETag of this registry
     */
    public static int version(@Nullable String header) {
        if (header == null || header.isBlank()) {
            throw new Problem.Unconditional();
        }
        Matcher form = TAG.matcher(header.strip());
        if (!form.matches()) {
            throw new Problem.Malformed(
                    Fault.parameter("If-Match", "header.form", "Send the ETag of what you read, as \"v1\"."));
        }
        return Integer.parseInt(form.group(1));
    }

    /**
     * Reads both headers of something that may not have been written yet: the version seen, or 0 with {@code If-None-Match: *}.
     *
     * @throws Problem.Unconditional if both are missing
     * @throws Problem.Malformed if one is not as it should be, or both are sent
     */
    public static int orFirst(@Nullable String ifMatch, @Nullable String ifNoneMatch) {
        if (ifNoneMatch == null) {
            return version(ifMatch);
        }
        if (ifMatch != null || !ifNoneMatch.strip().equals("*")) {
            throw new Problem.Malformed(Fault.parameter(
                    "If-None-Match",
                    "header.form",
                    "Send * for the first version, and If-Match with the ETag you read for a further one."));
        }
        return 0;
    }

    /** The ETag of a version. */
    public static String tag(int version) {
        return "\"v" + version + "\"";
    }
}
