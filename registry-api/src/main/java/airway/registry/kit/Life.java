package airway.registry.kit;

import java.time.Instant;
import java.time.LocalDate;
import java.util.Comparator;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * What follows from the moves of an item: where it is, and whether it is clean. It is kept nowhere; it is folded from the
 * log each time.
 *
 * @param version the last move
 * @param since when it came into its state
 * @param cycleEnd when the last passing cycle ended, or null
 * @param place where it is, as last told; of a missing item where it was last; null where nobody told
 * @param label the tracking label it is away under, else null
 * @param useBy last day of its pack, or null where none was told since it was processed
 * @param cycles passing cycles named by its moves
 * @param dirtyAt when it was last opened, used, in use or missing, or null
 * @param clean whether a cycle passed, and later than that
 * @param released whether two people have released it once
 * @param onHold whether it was held and nobody decided since
 * @param proposal what the first of two people proposed, waiting for the second
 * @param before what it was before the last move; null where that cannot be taken back
 */
record Life(
        int version,
        State state,
        Instant since,
        @Nullable Instant cycleEnd,
        @Nullable String place,
        @Nullable String label,
        @Nullable LocalDate useBy,
        int cycles,
        @Nullable Instant dirtyAt,
        boolean clean,
        boolean released,
        boolean onHold,
        @Nullable Move proposal,
        @Nullable Life before) {
    /** Only what neither makes an item dirty nor sets it apart can be taken back: the rest has ways of its own. */
    private static final Set<State> TAKEN_BACK =
            Set.of(State.READY, State.PLACED, State.SENT, State.IN_PROCESSING, State.RETURNED);

    private static final Set<State> DECIDED = Set.of(State.RETURNED, State.USED, State.RETIRED);

    /**
     * Folds a log.
     *
     * @param log all moves, the first one first; at least the one that entered it
     */
    static Life of(List<Move> log) {
        Move first = log.get(0);
        Instant at = first.told().at();
        Life life = new Life(
                1, State.NEW, at, null, first.told().place(), null, null, 0, null, false, false, false, null, null);
        for (Move move : log.subList(1, log.size())) {
            life = life.after(move);
        }
        return life;
    }

    /** After one more move, which the rules allowed. */
    Life after(Move move) {
        return switch (move.done()) {
            case Move.UNDO -> Objects.requireNonNull(before).with(move.version(), null, null);
            case Move.PROPOSED -> with(move.version(), move, this);
            case Move.NAMED -> named(move);
            case Move.UNNAMED -> with(move.version(), null, null);
            default -> moved(move);
        };
    }

    private Life with(int version, @Nullable Move proposal, @Nullable Life before) {
        return new Life(
                version, state, since, cycleEnd, place, label, useBy, cycles, dirtyAt, clean, released, onHold,
                proposal, before);
    }

    /** A use that is told late counts as later than the cycles that were entered before it. */
    private Instant dirtied(Instant at) {
        return Stream.of(Optional.of(at), Optional.ofNullable(dirtyAt), Optional.ofNullable(cycleEnd))
                .flatMap(Optional::stream)
                .max(Comparator.naturalOrder())
                .orElse(at);
    }

    /** A record names it: wherever it is, it is dirty. What is away or set apart stays there. */
    private Life named(Move move) {
        boolean goes = move.to() != state;
        Instant at = move.told().at();
        return new Life(
                move.version(),
                move.to(),
                goes ? at : since,
                cycleEnd,
                goes ? null : place,
                goes ? null : label,
                useBy,
                cycles,
                dirtied(at),
                false,
                released,
                onHold,
                null,
                null);
    }

    private Life moved(Move move) {
        State to = move.to();
        Told told = move.told();
        Instant dirty = to.contaminates() ? dirtied(told.at()) : dirtyAt;
        boolean counts = to == State.RETURNED || (to == State.READY && state == State.NEW);
        Instant passed = counts ? told.passedAt() : null;
        boolean nowClean = !to.contaminates() && (passed == null ? clean : dirty == null || passed.isAfter(dirty));
        String where = told.place() != null ? told.place() : to == State.SENT ? told.destination() : null;
        boolean stays = to == State.MISSING || (to == State.IN_PROCESSING && where == null);
        return new Life(
                move.version(),
                to,
                told.at(),
                passed == null ? cycleEnd : passed,
                stays ? place : where,
                to == State.SENT ? told.label() : to.group() == State.Group.AWAY ? label : null,
                to.contaminates() ? useBy : told.useBy() != null ? told.useBy() : useBy,
                cycles + (passed == null ? 0 : 1),
                dirty,
                nowClean,
                released || to == State.READY,
                to == State.HELD || (onHold && !DECIDED.contains(to)),
                null,
                TAKEN_BACK.contains(to) ? with(version, null, null) : null);
    }
}
