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

/**
 * The kit of the home unit: reusable blades, one in each place of the round, and two that the latest records name; trolleys that
 * are ready, not ready and overdue; tubes by lot, some of which run out.
 */
final class InventedKit {
    private static final JsonMapper JSON = new JsonMapper();
    private static final String STRAIGHT = "Straight blade, size 1";
    private static final String CURVED = "Curved blade, size 2";
    private static final String HANDLE = "Handle with camera";
    private static final String TUBE = "Tube, cuffed, 3.5";
    private static final int DAY = 24;

    /** What the latest records name, the newest first: the last label is of no item. */
    private static final List<List<String>> LABELS =
            List.of(List.of("0412", "H-02", "A1207"), List.of("0413"), List.of("0499"));

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
        stock();
        trolleys();
    }

    private void stock() {
        door.addKind(JSON.createObjectNode()
                .put("site_id", site.code())
                .put("title", TUBE)
                .put("profile", "single_use")
                .put("least_ready", 10));
        received("A1207", 200, 6);
        received("B0311", 5, 2);
        received("C0002", -3, 1);
    }

    private void received(String lot, int days, int number) {
        door.receive(JSON.createObjectNode()
                .put("site_id", site.code())
                .put("kind", TUBE)
                .put("lot", lot)
                .put("use_by", useBy(days))
                .put("number", number));
    }

    private void trolleys() {
        UUID first = trolley("Trolley 1", slot("1", TUBE, 2, 1), slot("2", STRAIGHT, 2, 1), slot("top", HANDLE, 1, 1));
        full(first, 3 * DAY, "20417", 2, 2, 1);
        sealed(first, 1, "20417", 92);
        UUID second = trolley(
                "Trolley 2",
                slot("1", TUBE, 2, 1),
                slot("2", STRAIGHT, 1, 1),
                slot("3", CURVED, 1, 1),
                slot("top", HANDLE, 1, 1));
        full(second, 3 * DAY, "20418", 1, 1, 1, 1);
        sealed(second, 2, "20418", 74);
        full(trolley("Trolley 3", slot("1", TUBE, 4, 2)), 3 * DAY, "20419", 3);
    }

    private static ObjectNode slot(String drawer, String title, int wanted, int least) {
        return JSON.createObjectNode()
                .put("drawer", drawer)
                .put("title", title)
                .put("wanted", wanted)
                .put("least", least)
                .put("dated", "yes");
    }

    private UUID trolley(String title, ObjectNode... slots) {
        ObjectNode body = JSON.createObjectNode()
                .put("site_id", site.code())
                .put("title", title)
                .put("due_at", "07:30")
                .put("check_days", 1)
                .put("full_days", 7)
                .put("light", "yes")
                .put("battery_least", 40);
        body.putArray("slots").addAll(List.of(slots));
        return door.addTrolley(body);
    }

    /** A full check, with what was found in each slot. */
    private void full(UUID trolley, int hoursAgo, String seal, int... found) {
        ObjectNode body = JSON.createObjectNode()
                .put("kind", "full")
                .put("at", ago(hoursAgo))
                .put("seal_found", "none")
                .put("seal_applied", seal)
                .put("light", "yes")
                .put("battery", 96);
        ArrayNode lines = body.putArray("lines");
        for (int number : found) {
            lines.addObject().put("found", number).put("use_by", useBy(25));
        }
        door.check(trolley, body);
    }

    private void sealed(UUID trolley, int hoursAgo, String seal, int battery) {
        door.check(
                trolley,
                JSON.createObjectNode()
                        .put("kind", "short")
                        .put("at", ago(hoursAgo))
                        .put("seal_found", "whole")
                        .put("seal_read", seal)
                        .put("battery", battery));
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
