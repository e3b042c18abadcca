package airway.registry.kit;

import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** A check as it came in. */
final class CheckForm {
    static final int LONGEST_NOTE = 300;
    static final List<String> SEALS = List.of("whole", "broken", "none");

    private static final int MOST_FOUND = 99;
    private static final int MOST_LINES = 1_000_000_000;
    private static final List<String> YES_NO = List.of("yes", "no");
    private static final Set<String> LINE = Set.of("found", "use_by");
    private static final Set<String> FIELDS = Set.of(
            "kind",
            "seen",
            "at",
            "seal_found",
            "seal_read",
            "seal_applied",
            "lines",
            "light",
            "battery",
            "memory_free",
            "recordings",
            "note",
            "corrects",
            "reason");

    private CheckForm() {}

    /**
     * What is asked for.
     *
     * @param seen the last line of the log that the one who asks has seen; null where they need not say
     * @param corrects the line that this one stands for, or null
     */
    record Asked(
            @Nullable Integer seen,
            Check.Found found,
            @Nullable Integer corrects,
            @Nullable String reason) {}

    /**
     * Reads a check, or that a trolley was opened.
     *
     * @param now when no time is told, it was done now
     * @param slots those that were checked
     * @throws Problem.Malformed if it has other fields
     * @throws Problem.Invalid with everything that is wrong
     */
    static Asked read(JsonNode body, Trolley trolley, List<Slot> slots, Instant now) {
        JsonFields fields = JsonFields.of(body, FIELDS);
        List<String> kinds =
                Arrays.stream(Check.Kind.values()).map(Check.Kind::code).toList();
        String words = "Choose what it was: full, short or opened.";
        Check.Kind kind = fields.needed(
                "kind",
                Check.Kind.of(String.valueOf(fields.code("kind", kinds, words))).orElse(null),
                words);
        Integer corrects = fields.whole("corrects", 1, MOST_LINES);
        String reason = fields.text("reason", LONGEST_NOTE);
        if (corrects != null) {
            fields.needed("reason", reason, "Write why it is put right.");
        } else if (reason != null) {
            fields.fault("reason", "not_asked", "This goes with a correction; leave it out, or write a note.");
        }
        Integer seen = fields.whole("seen", 0, MOST_LINES);
        if (kind != Check.Kind.OPENED) {
            fields.needed("seen", seen, "Send the last line of its log that you have seen; 0 if there is none.");
        }
        Instant told = fields.moment("at", trolley.site().zone());
        if (told != null && told.isAfter(now)) {
            fields.fault("at", "time.ahead", "This time lies ahead; tell when it was done.");
        }
        String note = fields.text("note", LONGEST_NOTE);
        Check.Found found = new Check.Found(
                kind == null ? Check.Kind.FULL : kind,
                told == null ? now : told,
                sealFound(fields, kind),
                MoveForm.number(fields, "seal_read", MoveForm.LONGEST_NAME),
                MoveForm.number(fields, "seal_applied", MoveForm.LONGEST_NAME),
                kind == Check.Kind.FULL ? lines(fields, body.path("lines"), slots) : List.of(),
                yes(fields, "light", trolley.light() && kind == Check.Kind.FULL, "Try it, and tell whether it works."),
                battery(fields, trolley, kind),
                yes(
                        fields,
                        "memory_free",
                        device(trolley.recorder(), kind),
                        "Tell whether there is room for one more."),
                recordings(fields, trolley, kind),
                note);
        asked(fields, found);
        fields.check();
        return new Asked(seen, found, corrects, reason);
    }

    /** That an earlier line is taken back: {@code {seen, reason}}. */
    static Asked withdrawal(JsonNode body, Check earlier) {
        JsonFields fields = JsonFields.of(body, Set.of("seen", "reason"));
        Integer seen = fields.needed(
                "seen", fields.whole("seen", 1, MOST_LINES), "Send the last line of its log that you have seen.");
        String reason = fields.needed("reason", fields.text("reason", LONGEST_NOTE), "Write why it is taken back.");
        fields.check();
        return new Asked(
                seen,
                Check.Found.nothing(earlier.found().kind(), earlier.found().at()),
                earlier.version(),
                reason);
    }

    private static boolean device(boolean there, Check.@Nullable Kind kind) {
        return there && kind != Check.Kind.OPENED;
    }

    private static @Nullable String sealFound(JsonFields fields, Check.@Nullable Kind kind) {
        String words = "Tell how you found the seal: whole, broken, or none.";
        String seal = fields.code("seal_found", SEALS, words);
        return kind == Check.Kind.OPENED ? seal : fields.needed("seal_found", seal, words);
    }

    /** What is told of a seal must fit together, and what was not asked must not be told. */
    private static void asked(JsonFields fields, Check.Found found) {
        if ("whole".equals(found.sealFound())) {
            fields.needed("seal_read", found.sealRead(), "Read the number on the seal.");
        } else if ("none".equals(found.sealFound()) && found.sealRead() != null) {
            fields.fault("seal_read", "seal.none", "There was no seal: leave the number out, or tell how it was.");
        }
        if (found.kind() != Check.Kind.FULL && found.sealApplied() != null) {
            fields.fault("seal_applied", "seal.not_looked", "A new seal goes on after a full check only.");
        }
        if (found.kind() == Check.Kind.OPENED && (found.sealFound() != null || found.sealRead() != null)) {
            fields.fault("seal_found", "not_asked", "That it was opened says it; leave this out.");
        }
        if (found.kind() != Check.Kind.FULL && !fields.blank("lines")) {
            fields.fault("lines", "not_asked", "Drawers are looked at in a full check; leave this out.");
        }
    }

    private static List<Check.Line> lines(JsonFields fields, JsonNode list, List<Slot> slots) {
        if (!list.isArray() || list.size() != slots.size()) {
            fields.fault("lines", "lines.all", "Tell of all " + slots.size() + " slots, in the order of the trolley.");
            return List.of();
        }
        List<Check.Line> lines = new ArrayList<>();
        for (int i = 0; i < slots.size(); i++) {
            JsonFields line = fields.element("lines", i, LINE);
            Integer count = line.needed(
                    "found", line.whole("found", 0, MOST_FOUND), "Tick that it is as it should be, or count.");
            LocalDate useBy = line.date("use_by");
            if (slots.get(i).dated() && count != null && count > 0) {
                line.needed("use_by", useBy, "Write the earliest use-by day among them.");
            }
            lines.add(new Check.Line(count == null ? 0 : count, useBy));
        }
        return lines;
    }

    private static @Nullable Boolean yes(JsonFields fields, String name, boolean asked, String mend) {
        String code = fields.code(name, YES_NO, mend);
        if (!asked && code != null) {
            fields.fault(name, "not_asked", "This is not asked here; leave it out.");
        }
        if (asked) {
            fields.needed(name, code, mend);
        }
        return code == null ? null : code.equals("yes");
    }

    private static @Nullable Integer battery(JsonFields fields, Trolley trolley, Check.@Nullable Kind kind) {
        Integer charge = fields.whole("battery", 0, 100);
        if (device(trolley.batteryLeast() != null, kind)) {
            fields.needed("battery", charge, "Read the charge, in percent.");
        } else if (charge != null) {
            fields.fault("battery", "not_asked", "This is not asked here; leave it out.");
        }
        return charge;
    }

    private static Check.@Nullable Recordings recordings(
            JsonFields fields, Trolley trolley, Check.@Nullable Kind kind) {
        List<String> codes = Arrays.stream(Check.Recordings.values())
                .map(Check.Recordings::code)
                .toList();
        String words = "Choose how far the recordings on it are.";
        String code = fields.code("recordings", codes, words);
        if (device(trolley.recorder(), kind)) {
            fields.needed("recordings", code, words);
        } else if (code != null) {
            fields.fault("recordings", "not_asked", "This is not asked here; leave it out.");
        }
        return code == null ? null : Check.Recordings.of(code).orElse(null);
    }
}
