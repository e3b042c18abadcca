package airway.registry.kit;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.UUID;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * An item with all that happened to it.
 *
 * @param log its moves, the first one first
 * @param life what follows from them
 */
record Traced(Item item, List<Move> log, Life life) {
    static Traced of(Item item, List<Move> log) {
        return new Traced(item, List.copyOf(log), Life.of(log));
    }

    Kind kind() {
        return item.kind();
    }

    /** Cycles behind it, those before its first move here among them. */
    int cycles() {
        return item.cyclesBefore() + life.cycles();
    }

    /** How many records name it. */
    int uses() {
        return (int) named(false).stream().map(Use::record).distinct().count();
    }

    /** The records that name it since its last passing cycle. */
    Set<UUID> namedSinceClean() {
        return named(true).stream().map(Use::record).collect(Collectors.toSet());
    }

    /** An attempt that it was used in. */
    private record Use(UUID record, @Nullable Integer attempt) {}

    private Set<Use> named(boolean sinceClean) {
        Set<Use> uses = new HashSet<>();
        for (Move move : log) {
            UUID record = move.told().encounter();
            if (record != null && move.done().equals(Move.UNNAMED)) {
                uses.remove(new Use(record, move.told().attempt()));
            } else if (record != null) {
                uses.add(new Use(record, move.told().attempt()));
            } else if (sinceClean && move.to() == State.RETURNED && move.told().passedAt() != null) {
                uses.clear();
            }
        }
        return uses;
    }

    /** The states it can go to now. */
    List<State> open() {
        return Ways.open(life, item);
    }
}
