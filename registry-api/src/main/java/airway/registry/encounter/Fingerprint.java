package airway.registry.encounter;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.Map;
import java.util.TreeMap;
import tools.jackson.databind.JsonNode;

/** SHA-256, in hexadecimal, of a JSON value that does not change with spaces or the order of names. */
final class Fingerprint {
    private Fingerprint() {}

    static String of(JsonNode json) {
        try {
            StringBuilder canonical = new StringBuilder();
            write(json, canonical);
            byte[] digest = MessageDigest.getInstance("SHA-256")
                    .digest(canonical.toString().getBytes(StandardCharsets.UTF_8));
            return HexFormat.of().formatHex(digest);
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException(e);
        }
    }

    private static void write(JsonNode json, StringBuilder out) {
        if (json.isObject()) {
            Map<String, JsonNode> sorted = new TreeMap<>();
            json.properties().forEach(property -> sorted.put(property.getKey(), property.getValue()));
            out.append('{');
            sorted.forEach((name, value) -> {
                out.append(name.length()).append(':').append(name).append('=');
                write(value, out);
            });
            out.append('}');
        } else if (json.isArray()) {
            out.append('[');
            json.forEach(item -> {
                write(item, out);
                out.append(',');
            });
            out.append(']');
        } else {
            out.append(json);
        }
    }
}
