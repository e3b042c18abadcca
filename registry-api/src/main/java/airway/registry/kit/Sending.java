package airway.registry.kit;

import airway.registry.access.Site;
import java.time.Instant;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/**
 * Items that went for decontamination together.
 *
 * @param label number of the tracking label
 * @param at when they went
 * @param items all that went under the label, those that came back among them
 */
record Sending(Site site, String label, String destination, Instant at, List<Traced> items) {
    static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);

    /** The sendings of a unit of which something is still away, the longest away first. */
    static List<Sending> open(Site site, List<Traced> items) {
        return all(site, items).stream()
                .filter(sending -> sending.items.stream().anyMatch(Sending::away))
                .sorted(Comparator.comparing(Sending::at))
                .toList();
    }

    /** The sending of a label, if there is one. */
    static Optional<Sending> of(Site site, List<Traced> items, String label) {
        return all(site, items).stream()
                .filter(sending -> sending.label.equals(label))
                .findFirst();
    }

    /** Whether an item has not come back. */
    static boolean away(Traced item) {
        return item.life().state().group() == State.Group.AWAY;
    }

    /** By the label that each item went under last. */
    private static List<Sending> all(Site site, List<Traced> items) {
        Map<String, Sending> sendings = new LinkedHashMap<>();
        for (Traced item : items) {
            sent(item).ifPresent(move -> {
                String label = String.valueOf(move.told().label());
                Sending sending = sendings.computeIfAbsent(
                        label,
                        first -> new Sending(
                                site,
                                label,
                                String.valueOf(move.told().destination()),
                                move.told().at(),
                                new ArrayList<>()));
                sending.items.add(item);
            });
        }
        return List.copyOf(sendings.values());
    }

    /** The move by which an item went last, unless it was taken back. */
    private static Optional<Move> sent(Traced item) {
        List<Move> log = item.log();
        for (int i = log.size() - 1; i >= 0; i--) {
            boolean takenBack = i + 1 < log.size() && log.get(i + 1).done().equals(Move.UNDO);
            if (log.get(i).done().equals(State.SENT.code()) && !takenBack) {
                return Optional.of(log.get(i));
            }
        }
        return Optional.empty();
    }
}
