package airway.registry.kit;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.UUID;

/**
 * What it does to an item that a record names it. Nothing bars it: the use has happened. Where the log says that it could
 * not have happened so, that is told to the kit keeper.
 *
 * @param to where the item is from then on
 * @param odd what does not agree
 */
record Naming(State to, List<Discrepancy.Kind> odd) {
    /**
     * Judges a naming.
     *
     * @param at when it was used
     */
    static Naming of(Traced traced, UUID record, Instant at) {
        Life life = traced.life();
        List<Discrepancy.Kind> odd = new ArrayList<>();
        boolean another = traced.namedSinceClean().stream().anyMatch(other -> !other.equals(record));
        if (another) {
            odd.add(Discrepancy.Kind.USED_TWICE);
        }
        State to = switch (life.state()) {
            case READY, PLACED, OPENED, IN_USE -> {
                LocalDate day = LocalDate.ofInstant(at, traced.kind().site().zone());
                if (life.useBy() != null && life.useBy().isBefore(day)) {
                    odd.add(Discrepancy.Kind.EXPIRED);
                }
                processedSince(life, at, odd);
                yield State.USED;
            }
            case RETURNED -> {
                processedSince(life, at, odd);
                oddUnlessTold(odd);
                yield State.USED;
            }
            case USED -> {
                oddAfter(life, at, odd);
                yield State.USED;
            }
            case NEW -> {
                oddUnlessTold(odd);
                yield State.USED;
            }
            case MISSING -> {
                oddUnlessTold(odd);
                yield at.isAfter(life.since()) ? State.USED : State.MISSING;
            }
            // It is away or set apart: a record neither brings it back nor decides about it.
            case SENT, IN_PROCESSING -> {
                oddAfter(life, at, odd);
                yield life.state();
            }
            case HELD, REPAIR, RETIRED -> {
                if (life.clean()) {
                    oddUnlessTold(odd);
                } else {
                    oddAfter(life, at, odd);
                }
                yield life.state();
            }
        };
        return new Naming(to, List.copyOf(odd));
    }

    /** It was clean since, by a cycle that ended after this use. */
    private static void processedSince(Life life, Instant at, List<Discrepancy.Kind> odd) {
        if (life.clean() && life.cycleEnd() != null && at.isBefore(life.cycleEnd())) {
            odd.add(Discrepancy.Kind.PROCESSED_SINCE);
        }
    }

    private static void oddAfter(Life life, Instant at, List<Discrepancy.Kind> odd) {
        if (at.isAfter(life.since())) {
            oddUnlessTold(odd);
        }
    }

    /** One line is enough to look into. */
    private static void oddUnlessTold(List<Discrepancy.Kind> odd) {
        if (odd.isEmpty()) {
            odd.add(Discrepancy.Kind.STATE_ODD);
        }
    }
}
