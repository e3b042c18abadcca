package airway.registry.demo;

import airway.registry.access.Site;
import airway.registry.kit.KitDoor;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.UUID;
import java.util.function.Consumer;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The reusable blades of the home unit: one in each place of the round, and two that the latest records name. */
final class InventedKit {
    private static final JsonMapper JSON = new JsonMapper();
    private static final String STRAIGHT = "Straight blade, size 1";
    private static final String CURVED = "Curved blade, size 2";
    private static final String HANDLE = "Handle with camera";
    private static final int DAY = 24;

    /** What the latest records name, the newest first: the last label is of no item. */
    private static final List<List<String>> LABELS = List.of(List.of("0412", "H-02"), List.of("0413"), List.of("0499"));

    private final KitDoor door;
    private final Site site;
    private final Instant now;
    private final Consumer<Runnable> second;

    /**
     * @param now moves are told as so long before it
     * @param second does something as the second of two people
     */
    InventedKit(KitDoor door, Site site, Instant now, Consumer<Runnable> second) {
        this.door = door;
        this.site = site;
        this.now = now.truncatedTo(ChronoUnit.MINUTES);
        this.second = second;
    }

    /**
     * Writes labels into the records made last.
     *
     * @param latest the newest first
     * @return how many have one
     */
    static int label(List<InventedRecord> latest) {
        int labelled = Math.min(LABELS.size(), latest.size());
        for (int i = 0; i < labelled; i++) {
            if (latest.get(i).body().at("/courses/0/attempts/0") instanceof ObjectNode attempt) {
                ArrayNode labels = attempt.putArray("kit_labels");
                LABELS.get(i).forEach(labels::add);
            }
        }
        return labelled;
    }

    void enter() {
        kind(STRAIGHT, "Maker's leaflet of March 2025, page 4", 60, 3);
        kind(CURVED, "Maker's leaflet of March 2025, page 6", 60, 2);
        kind(HANDLE, "Maker's manual, chapter 9", 200, 1);
        released(STRAIGHT, "0401", 41);
        placed(released(STRAIGHT, "0402", 12), "Trolley 1, drawer 2");
        placed(released(STRAIGHT, "0403", 58), "Trolley 2, drawer 2");
        used(released(CURVED, "0404", 7), 3);
        sent(used(released(CURVED, "0405", 22), 3 * DAY + 2), "7731", 3 * DAY);
        sent(used(released(STRAIGHT, "0406", 19), 3 * DAY + 1), "7734", 3 * DAY);
        returned(sent(used(released(CURVED, "0407", 30), 2 * DAY), "7736", 2 * DAY - 2), "7736", 2);
        move(released(STRAIGHT, "0408", 3), "held", 5, "place", "Red box", "reason", "The label cannot be read.");
        release(item(STRAIGHT, "0409", 0), DAY);
        retired(released(CURVED, "0410", 59));
        move(released(CURVED, "0411", 15), "missing", DAY, "place", "Trolley 1");
        placed(released(STRAIGHT, "0412", 33), "Trolley 1, drawer 2");
        placed(released(CURVED, "0413", 8), "Trolley 2, drawer 3");
        placed(released(HANDLE, "H-01", 80), "Trolley 1, top");
        placed(released(HANDLE, "H-02", 95), "Trolley 2, top");
    }

    private void kind(String title, String instructions, int limit, int least) {
        door.addKind(JSON.createObjectNode()
                .put("site_id", site.code())
                .put("title", title)
                .put("instructions", instructions)
                .put("cycle_limit", limit)
                .put("least_ready", least));
    }

    private UUID item(String kind, String name, int cycles) {
        return door.addItem(JSON.createObjectNode()
                .put("site_id", site.code())
                .put("kind", kind)
                .put("name", name)
                .put("cycles_before", cycles)
                .put("place", "Kit desk"));
    }

    private void move(UUID item, String to, int hoursAgo, String... told) {
        ObjectNode body = JSON.createObjectNode().put("move", to).put("at", ago(hoursAgo));
        for (int i = 0; i < told.length; i += 2) {
            body.put(told[i], told[i + 1]);
        }
        door.move(item, body);
    }

    private String ago(int hours) {
        return now.minus(Duration.ofHours(hours)).toString();
    }

    private String useBy(int days) {
        return LocalDate.ofInstant(now, site.zone()).plusDays(days).toString();
    }

    private void release(UUID item, int hoursAgo) {
        move(
                item,
                "ready",
                hoursAgo,
                "cycle",
                "S-" + hoursAgo,
                "cycle_ended_at",
                ago(hoursAgo + 4),
                "cycle_passed",
                "yes",
                "use_by",
                useBy(hoursAgo == DAY ? 180 : 25),
                "place",
                "Shelf C");
    }

    private UUID released(String kind, String name, int cycles) {
        UUID item = item(kind, name, cycles);
        release(item, 20 * DAY);
        confirm(item);
        return item;
    }

    private void confirm(UUID item) {
        second.accept(() -> door.move(item, JSON.createObjectNode().put("move", "confirmed")));
    }

    private void placed(UUID item, String where) {
        move(item, "placed", 19 * DAY, "place", where, "pack_whole", "yes");
    }

    private UUID used(UUID item, int hoursAgo) {
        move(item, "opened", hoursAgo);
        move(item, "used", hoursAgo, "place", "Used-blade box, bay 4");
        return item;
    }

    private UUID sent(UUID item, String label, int hoursAgo) {
        move(item, "sent", hoursAgo, "label", label, "destination", "Sterile services");
        return item;
    }

    private void returned(UUID item, String label, int hoursAgo) {
        move(
                item,
                "returned",
                hoursAgo,
                "label",
                label,
                "cycle",
                "S-9041",
                "cycle_ended_at",
                ago(hoursAgo + 6),
                "cycle_passed",
                "yes",
                "use_by",
                useBy(180),
                "place",
                "Kit desk");
    }

    private void retired(UUID item) {
        move(item, "retired", 4 * DAY, "reason", "It has reached the cycles its maker allows.");
        confirm(item);
    }
}
