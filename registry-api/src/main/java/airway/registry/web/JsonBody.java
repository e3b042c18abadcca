package airway.registry.web;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import jakarta.servlet.http.HttpServletRequest;
import java.io.IOException;
import java.io.UncheckedIOException;
import tools.jackson.core.JacksonException;
import tools.jackson.core.StreamReadConstraints;
import tools.jackson.core.StreamReadFeature;
import tools.jackson.core.TokenStreamLocation;
import tools.jackson.core.json.JsonFactory;
import tools.jackson.databind.DeserializationFeature;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** The JSON body of a request, read strictly: no name twice, nothing after the end, bounded in size and depth. */
public final class JsonBody {
    private static final int MOST_BYTES = 64 * 1024;
    private static final int DEEPEST = 12;

    private static final JsonMapper STRICT = JsonMapper.builder(JsonFactory.builder()
                    .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
                    .streamReadConstraints(StreamReadConstraints.builder()
                            .maxNestingDepth(DEEPEST)
                            .maxNumberLength(40)
                            .maxStringLength(MOST_BYTES)
                            .build())
                    .build())
            .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
            .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
            .build();

    private static final Fault OUT_OF_BOUNDS = Fault.at("", "json", "The body has a number that is out of all bounds.");
    private static final Fault UNKEEPABLE =
            Fault.at("", "json", "A text in the body has a character that is none: a zero, or half of a pair.");

    private JsonBody() {}

    /**
     * Reads the body.
     *
     * @throws Problem.Malformed if it is not one JSON value; says where, never what
     * @throws Problem.TooLarge over 64 KiB
     */
    public static JsonNode read(HttpServletRequest request) {
        byte[] bytes;
        try {
            bytes = request.getInputStream().readNBytes(MOST_BYTES + 1);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        if (bytes.length > MOST_BYTES) {
            throw new Problem.TooLarge("A request may have 64 KiB at most.");
        }
        try {
            JsonNode json = STRICT.readTree(bytes);
            if (json.isMissingNode()) {
                throw new Problem.Malformed(Fault.at("", "json", "The body is empty; send JSON."));
            }
            bounded(json);
            return json;
        } catch (NumberFormatException e) {
            throw new Problem.Malformed(OUT_OF_BOUNDS);
        } catch (JacksonException e) {
            throw new Problem.Malformed(Fault.at("", "json", "The body is not JSON as it should be" + place(e) + "."));
        }
    }

    /** No number beyond those that programs can hold, and no text that no database can keep. */
    private static void bounded(JsonNode json) {
        if (json.isNumber() && Double.isInfinite(json.doubleValue())) {
            throw new Problem.Malformed(OUT_OF_BOUNDS);
        }
        if (json.isString() && !keepable(json.stringValue())) {
            throw new Problem.Malformed(UNKEEPABLE);
        }
        if (!json.propertyNames().stream().allMatch(JsonBody::keepable)) {
            throw new Problem.Malformed(UNKEEPABLE);
        }
        json.forEach(JsonBody::bounded);
    }

    private static boolean keepable(String text) {
        return text.codePoints().noneMatch(point -> point == 0 || Character.getType(point) == Character.SURROGATE);
    }

    private static String place(JacksonException e) {
        TokenStreamLocation location = e.getLocation();
        String fault = String.valueOf(e.getOriginalMessage()).startsWith("Duplicate") ? ": a name stands twice" : "";
        return location == null
                ? fault
                : fault + ", near line " + location.getLineNr() + ", column " + location.getColumnNr();
    }
}
