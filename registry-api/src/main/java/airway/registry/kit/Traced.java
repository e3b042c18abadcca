package airway.registry.kit;

import java.util.List;
import java.util.Objects;

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
        return (int) log.stream()
                .map(move -> move.told().encounter())
                .filter(Objects::nonNull)
                .distinct()
                .count();
    }

    /** The states it can go to now. */
    List<State> open() {
        return Ways.open(life, item);
    }
}
