package airway.registry.audit;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;

/** The codes of the audit in words. */
final class AuditWords {
    private static final JsonMapper JSON = new JsonMapper();

    static final Map<String, String> ACTIONS = words(
            "recorded", "Recorded",
            "amended", "Put right",
            "withdrawn", "Withdrawn",
            "finalised", "Made final",
            "moved", "Moved",
            "added", "Added",
            "invited", "Invited",
            "joined", "Joined",
            "signed_in", "Signed in",
            "refused", "Refused",
            "signed_out", "Signed out",
            "granted", "Granted",
            "ended", "Ended",
            "disabled", "Disabled",
            "enabled", "Enabled",
            "reset", "Reset",
            "revoked", "Taken back",
            "set", "Set",
            "kept", "Kept",
            "seen", "Seen",
            "found", "Found",
            "erased", "Erased",
            "rotated", "Changed over",
            "verified", "Verified",
            "told", "Told",
            "asked", "Asked for",
            "approved", "Approved",
            "made", "Made",
            "fetched", "Fetched");

    static final Map<String, String> OBJECTS = words(
            "encounter", "record",
            "change", "change of practice",
            "review", "case review",
            "aim", "aim",
            "report", "quarterly report",
            "kept_average", "kept average",
            "kit_kind", "kind of item",
            "kit_item", "item of the kit",
            "kit_discrepancy", "discrepancy of the kit",
            "kit_trolley", "trolley",
            "kit_check", "check of a trolley",
            "kit_lot", "lot of the kit",
            "look_back", "look-back",
            "person", "person",
            "grant", "role of a person",
            "token", "token",
            "session", "session",
            "identity", "hospital number",
            "setting", "setting",
            "unit", "unit",
            "key", "encryption key",
            "chain", "this audit",
            "table", "table of counts",
            "research_request", "request for research data",
            "research_package", "package of research data");

    private AuditWords() {}

    private static Map<String, String> words(String... pairs) {
        Map<String, String> words = new LinkedHashMap<>();
        for (int i = 0; i < pairs.length; i += 2) {
            words.put(pairs[i], pairs[i + 1]);
        }
        return words;
    }

    /** What was done to what, as "Put right: record, version 2". */
    static String what(AuditLine line) {
        return ACTIONS.getOrDefault(line.action(), line.action()) + ": "
                + OBJECTS.getOrDefault(line.object(), line.object())
                + (line.version() == null ? "" : ", version " + line.version());
    }

    /** Why, as a code in words and what was typed; empty where nothing was asked. */
    static String why(AuditLine line) {
        String code = line.reasonCode() == null ? "" : plain(line.reasonCode());
        String typed = line.reason() == null ? "" : line.reason();
        return code.isEmpty() || typed.isEmpty() ? code + typed : code + ": " + typed;
    }

    /** The detail as "was 1, is 2". */
    static String detail(@Nullable String detail) {
        return detail == null
                ? ""
                : JSON.readTree(detail).properties().stream()
                        .map(one -> plain(one.getKey()) + " "
                                + one.getValue().asString(one.getValue().toString()))
                        .collect(Collectors.joining(", "));
    }

    private static String plain(String code) {
        return code.replace('_', ' ');
    }
}
