package airway.registry.kit;

import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import java.time.Instant;
import java.time.ZoneId;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.UUID;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** A move as it came in. */
final class MoveForm {
    static final int LONGEST_PLACE = 60;
    static final int LONGEST_REASON = 300;
    static final int LONGEST_NAME = 30;

    /** A number on a label: printable characters of one line, as scanners give them. */
    static final String NUMBER = "[!-~]([ -~]*[!-~])?";

    private static final int LONGEST_CYCLE = 40;
    private static final int MOST_MOVES = 1_000_000_000;
    private static final int MOST_ATTEMPTS = 99;

    /** What can be told with a move, in the order in which it is asked. */
    static final List<String> TOLD = List.of(
            "place",
            "label",
            "destination",
            "cycle",
            "cycle_ended_at",
            "cycle_passed",
            "use_by",
            "pack_whole",
            "checked",
            "encounter_id",
            "attempt_no",
            "reason");

    private static final Map<State, Set<String>> OF = new EnumMap<>(State.class);

    static {
        List<String> cycle = List.of("cycle", "cycle_ended_at", "cycle_passed", "use_by");
        for (State to : State.values()) {
            OF.put(to, Set.of("place", "reason"));
        }
        OF.put(State.READY, with(cycle, "place", "checked", "reason"));
        OF.put(State.PLACED, Set.of("place", "pack_whole", "reason"));
        OF.put(State.IN_USE, Set.of("place", "encounter_id", "attempt_no", "reason"));
        OF.put(State.SENT, Set.of("label", "destination", "reason"));
        OF.put(State.IN_PROCESSING, Set.of("place", "cycle", "reason"));
        OF.put(State.RETURNED, with(cycle, "place", "label", "reason"));
        OF.put(State.HELD, Set.of("place", "cycle", "cycle_ended_at", "cycle_passed", "reason"));
    }

    private static Set<String> with(List<String> some, String... more) {
        return Set.copyOf(Stream.concat(some.stream(), Arrays.stream(more)).toList());
    }

    private MoveForm() {}

    /** What can be done: to go into a state, to take back, to confirm. */
    static List<String> codes() {
        return Stream.concat(
                        Arrays.stream(State.values())
                                .filter(state -> state != State.NEW)
                                .map(State::code),
                        Stream.of(Move.UNDO, Move.CONFIRMED, Move.WIPED))
                .toList();
    }

    /** Whether this can be told with a move into the state. */
    static boolean asks(State to, String field) {
        return Objects.requireNonNull(OF.get(to)).contains(field);
    }

    /**
     * What is asked for.
     *
     * @param done a code of {@link #codes}
     * @param seen the last move that the one who asks has seen
     */
    record Asked(String done, int seen, Told told) {}

    /**
     * Reads a move.
     *
     * @param now when nothing else is told, it is done now
     * @param zone of the unit
     * @throws Problem.Malformed if it has other fields
     * @throws Problem.Invalid with everything that cannot be read
     */
    static Asked read(JsonNode body, Instant now, ZoneId zone) {
        JsonFields fields = JsonFields.of(body, with(TOLD, "move", "seen", "at"));
        String words = "Choose what was done: " + String.join(", ", codes()) + ".";
        String done = fields.needed("move", fields.code("move", codes(), words), words);
        Integer seen = fields.needed(
                "seen", fields.whole("seen", 1, MOST_MOVES), "Send the version of the item that you have seen.");
        Told told = told(fields, String.valueOf(done), now, zone);
        fields.check();
        return new Asked(Objects.requireNonNull(done), Objects.requireNonNull(seen), told);
    }

    private static final Set<String> OF_WIPING = Set.of("place", "cycle", "reason");

    private static boolean asks(String done, String name) {
        return State.of(done)
                .map(to -> asks(to, name))
                .orElseGet(() -> done.equals(Move.WIPED) ? OF_WIPING.contains(name) : name.equals("reason"));
    }

    private static Told told(JsonFields fields, String done, Instant now, ZoneId zone) {
        for (String name : TOLD) {
            if (!fields.blank(name) && !asks(done, name)) {
                fields.fault(name, "not_asked", "This is not asked with this move; leave it out.");
            }
        }
        Instant at = fields.moment("at", zone);
        return new Told(
                at == null ? now : at,
                fields.text("place", LONGEST_PLACE),
                number(fields, "label", LONGEST_NAME),
                fields.text("destination", LONGEST_PLACE),
                number(fields, "cycle", LONGEST_CYCLE),
                fields.moment("cycle_ended_at", zone),
                yes(fields, "cycle_passed"),
                fields.date("use_by"),
                yes(fields, "pack_whole"),
                yes(fields, "checked"),
                uuid(fields, "encounter_id"),
                fields.whole("attempt_no", 1, MOST_ATTEMPTS),
                fields.text("reason", LONGEST_REASON));
    }

    /**
     * What is told of several items that come back together.
     *
     * @param fields with everything that is wrong afterwards
     */
    static Told cycle(JsonFields fields, Instant now, ZoneId zone) {
        Boolean passed = fields.needed("cycle_passed", yes(fields, "cycle_passed"), "Tell whether the cycle passed.");
        boolean failed = Boolean.FALSE.equals(passed);
        String place = fields.text("place", LONGEST_PLACE);
        String label = number(fields, "label", LONGEST_NAME);
        return new Told(
                now,
                failed ? fields.needed("place", place, "Tell where they are kept apart.") : place,
                failed ? null : label,
                null,
                number(fields, "cycle", LONGEST_CYCLE),
                fields.moment("cycle_ended_at", zone),
                passed,
                failed ? null : fields.date("use_by"),
                null,
                null,
                null,
                null,
                failed ? "The cycle failed." : null);
    }

    /** A number that stands on something: letters and digits of one line. */
    static @Nullable String number(JsonFields fields, String name, int longest) {
        String number = fields.text(name, longest);
        if (number != null && !number.matches(NUMBER)) {
            fields.fault(name, "number.form", "Write it as it stands there: letters, digits and signs of one line.");
            return null;
        }
        return number;
    }

    private static @Nullable Boolean yes(JsonFields fields, String name) {
        String code = fields.code(name, List.of("yes", "no"), "Send yes or no.");
        return code == null ? null : code.equals("yes");
    }

    private static @Nullable UUID uuid(JsonFields fields, String name) {
        String text = fields.text(name, 36);
        try {
            return text == null ? null : UUID.fromString(text);
        } catch (IllegalArgumentException e) {
            fields.fault(name, "uuid", "Send the key of the record as it was given.");
            return null;
        }
    }
}
