package airway.registry.kit;

import airway.registry.access.Right;
import airway.registry.problem.Fault;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** Which moves there are from where, who makes them, what they need, and what bars them. */
final class Ways {
    private static final Map<State, Set<State>> FROM = new EnumMap<>(State.class);

    static {
        FROM.put(State.NEW, Set.of());
        FROM.put(State.READY, EnumSet.of(State.NEW, State.RETURNED, State.PLACED));
        FROM.put(State.PLACED, EnumSet.of(State.READY));
        FROM.put(State.OPENED, EnumSet.of(State.READY, State.PLACED));
        FROM.put(State.IN_USE, EnumSet.of(State.READY, State.PLACED, State.OPENED));
        FROM.put(State.USED, EnumSet.of(State.OPENED, State.IN_USE, State.MISSING, State.HELD, State.REPAIR));
        FROM.put(State.SENT, EnumSet.of(State.USED));
        FROM.put(State.IN_PROCESSING, EnumSet.of(State.SENT));
        FROM.put(State.RETURNED, EnumSet.of(State.SENT, State.IN_PROCESSING, State.HELD, State.REPAIR));
        for (State aside : List.of(State.HELD, State.REPAIR, State.MISSING, State.RETIRED)) {
            FROM.put(aside, EnumSet.complementOf(EnumSet.of(State.RETIRED, aside)));
        }
    }

    private Ways() {}

    /** What bars a way, whatever is told. */
    record Bar(String code, String mend) {}

    /** The states that the item can go to now. */
    static List<State> open(Life life, Item item) {
        return Arrays.stream(State.values())
                .filter(to -> bar(life, item, to).isEmpty())
                .toList();
    }

    /** Why the item cannot go there now, whatever is told; empty where it can. */
    static Optional<Bar> bar(Life life, Item item, State to) {
        State from = life.state();
        if (!FROM.getOrDefault(to, Set.of()).contains(from)) {
            return Optional.of(new Bar(
                    "way.none",
                    from == State.RETIRED
                            ? "It is out of use for good."
                            : from.contaminates() && to.group() == State.Group.READY
                                    ? "Opened is dirty: it is ready again only after a passing cycle and a check."
                                    : "There is no such move from here."));
        }
        Kind kind = item.kind();
        if (to == State.READY && kind.instructions() == null) {
            return Optional.of(new Bar(
                    "instructions.missing", "Enter first where the maker's reprocessing instructions are found."));
        }
        if (to == State.READY && from == State.RETURNED && !life.clean()) {
            return Optional.of(
                    new Bar("cycle.none", "No cycle passed since it was last opened or used: send it, or hold it."));
        }
        if (to == State.READY && from == State.RETURNED && kind.cycleLimit() != null) {
            int limit = kind.cycleLimit();
            if (item.cyclesBefore() + life.cycles() >= limit) {
                return Optional.of(new Bar("cycles.spent", "It has reached the cycles its maker allows: retire it."));
            }
        }
        return Optional.empty();
    }

    /** Whether the last move can be taken back. */
    static boolean canBeTakenBack(Life life) {
        return life.before() != null;
    }

    /** Whether it needs two people, each with an account of their own. */
    static boolean needsTwo(Life life, State to) {
        return to == State.RETIRED || (to == State.READY && !life.released()) || (to == State.USED && life.onHold());
    }

    /** What one must be allowed to do. */
    static Right right(Life life, State to) {
        return switch (to) {
            case IN_USE -> Right.RECORD;
            case OPENED -> Right.USE_KIT;
            case USED -> life.state() == State.OPENED || life.state() == State.IN_USE ? Right.USE_KIT : Right.KEEP_KIT;
            case HELD -> Right.HOLD_KIT;
            default -> Right.KEEP_KIT;
        };
    }

    /**
     * Why it cannot be wiped and be done with; empty where it can.
     */
    static Optional<Bar> wipingBar(Life life, Kind kind) {
        if (!kind.wiped()) {
            return Optional.of(new Bar("wiping.kind", "Wiping is not enough for this kind: send it."));
        }
        if (life.state() != State.OPENED && life.state() != State.USED) {
            return Optional.of(new Bar("way.none", "There is no such move from here."));
        }
        return kind.instructions() == null
                ? Optional.of(new Bar(
                        "instructions.missing", "Enter first where the maker's reprocessing instructions are found."))
                : Optional.empty();
    }

    /** What is missing or wrong in what was told of a wiping. */
    static List<Fault> wipingFaults(Life life, Told told, Instant now) {
        List<Fault> faults = new ArrayList<>();
        ahead(told, now, faults);
        needed(faults, told.cycle(), "cycle", "Tell what it was wiped with.");
        if (life.dirtyAt() != null && !told.at().isAfter(life.dirtyAt())) {
            faults.add(Fault.at(
                    "/at",
                    "cycle.early",
                    "This lies before the item was last opened, used or missing: it counts for nothing."));
        }
        return faults;
    }

    private static void ahead(Told told, Instant now, List<Fault> faults) {
        if (told.at().isAfter(now)) {
            faults.add(Fault.at("/at", "time.ahead", "This time lies ahead; tell when it was done."));
        }
    }

    /** What is missing or wrong in what was told. */
    static List<Fault> faults(Life life, State to, Told told, Instant now, Kind kind) {
        ZoneId zone = kind.site().zone();
        List<Fault> faults = new ArrayList<>();
        ahead(told, now, faults);
        switch (to) {
            case READY -> ready(life, told, kind, faults);
            case PLACED -> {
                needed(faults, told.place(), "place", "Tell the trolley and the drawer.");
                if (!kind.wiped()) {
                    yes(
                            faults,
                            told.packWhole(),
                            "pack_whole",
                            "Only a pack seen to be whole goes on a trolley; hold it.");
                }
                inDate(life.useBy(), told, zone, faults);
            }
            case IN_USE -> {
                needed(faults, told.encounter(), "encounter_id", "Name the record it was used in.");
                needed(faults, told.attempt(), "attempt_no", "Name the attempt it was used at, from 1.");
            }
            case USED -> {
                needed(faults, told.place(), "place", "Tell where it lies now.");
                if (life.onHold()) {
                    needed(faults, told.reason(), "reason", "It was held: write why it goes on.");
                }
            }
            case SENT -> {
                needed(faults, told.label(), "label", "Tell the number of the tracking label.");
                needed(faults, told.destination(), "destination", "Tell where it goes.");
            }
            case IN_PROCESSING -> needed(faults, told.cycle(), "cycle", "Tell the number of the cycle.");
            case RETURNED -> returned(life, told, kind, faults);
            case HELD -> {
                needed(faults, told.reason(), "reason", "Write why it is held.");
                needed(faults, told.place(), "place", "Tell where it is kept apart.");
            }
            case REPAIR -> needed(faults, told.reason(), "reason", "Write the number of the repair, or what is wrong.");
            case RETIRED -> needed(faults, told.reason(), "reason", "Write why it goes out of use.");
            default -> {
                // Opened and missing need nothing: who stands at the bedside or before an empty drawer can tell no
                // more.
            }
        }
        return faults;
    }

    private static void ready(Life life, Told told, Kind kind, List<Fault> faults) {
        if (life.state() != State.NEW && told.cycle() != null) {
            faults.add(Fault.at("/cycle", "not_asked", "The cycle was told when the item came back; leave it out."));
        }
        if (life.state() == State.PLACED) {
            needed(faults, told.reason(), "reason", "Write why it leaves the trolley.");
        } else if (life.state() == State.NEW) {
            cycle(life, told, faults);
        } else {
            yes(
                    faults,
                    told.checked(),
                    "checked",
                    "Only what passed inspection and the check of light or picture is ready; else send it to repair.");
        }
        if (life.state() != State.PLACED) {
            LocalDate day = told.useBy() == null ? life.useBy() : told.useBy();
            pack(faults, day, kind);
            inDate(day, told, kind.site().zone(), faults);
        }
    }

    /** What is wiped has no pack, and no day on which that ends. */
    private static void pack(List<Fault> faults, @Nullable LocalDate day, Kind kind) {
        if (!kind.wiped()) {
            needed(faults, day, "use_by", "Tell the last day on which its pack may be used.");
        }
    }

    private static void returned(Life life, Told told, Kind kind, List<Fault> faults) {
        boolean away = life.state().group() == State.Group.AWAY;
        if (away) {
            needed(faults, told.label(), "label", "Tell the number of the label it came back under.");
            if (told.label() != null && !told.label().equals(life.label())) {
                faults.add(Fault.at("/label", "label.other", "It left under another label: hold it."));
            }
        }
        if (away || !life.clean() || told.cycle() != null) {
            cycle(life, told, faults);
        }
        pack(faults, told.useBy() == null && !away ? life.useBy() : told.useBy(), kind);
        if (told.useBy() != null) {
            inDate(told.useBy(), told, kind.site().zone(), faults);
        }
    }

    /** A passing cycle that ended after the item was last dirty and before it was told. */
    private static void cycle(Life life, Told told, List<Fault> faults) {
        needed(faults, told.cycle(), "cycle", "Tell the number of the cycle.");
        needed(faults, told.cycleEndedAt(), "cycle_ended_at", "Tell when the cycle ended.");
        yes(
                faults,
                told.cyclePassed(),
                "cycle_passed",
                "Only a cycle that passed makes it clean; if it failed, hold it.");
        if (told.cycleEndedAt() != null) {
            if (life.dirtyAt() != null && !told.cycleEndedAt().isAfter(life.dirtyAt())) {
                faults.add(Fault.at(
                        "/cycle_ended_at",
                        "cycle.early",
                        "This cycle ended before the item was last opened, used or missing: it counts for nothing."));
            } else if (told.cycleEndedAt().isAfter(told.at())) {
                faults.add(
                        Fault.at("/cycle_ended_at", "cycle.ahead", "The cycle ended later than this move was made."));
            }
        }
    }

    private static void inDate(@Nullable LocalDate useBy, Told told, ZoneId zone, List<Fault> faults) {
        if (useBy != null && useBy.isBefore(LocalDate.ofInstant(told.at(), zone))) {
            faults.add(Fault.at("/use_by", "use_by.over", "The use-by day is over: process it again."));
        }
    }

    private static void needed(List<Fault> faults, @Nullable Object value, String field, String mend) {
        if (value == null) {
            faults.add(Fault.at("/" + field, "required", mend));
        }
    }

    private static void yes(List<Fault> faults, @Nullable Boolean value, String field, String mend) {
        if (!Boolean.TRUE.equals(value)) {
            faults.add(Fault.at("/" + field, value == null ? "required" : "not_passed", mend));
        }
    }
}
