package airway.registry.encounter;

import airway.registry.access.Actor;
import airway.registry.access.Site;
import airway.registry.dictionary.Level;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;

/** Fields of the record page for tests: a plain first pass, and what differs from it. */
final class Fields {
    static final ZoneId ZONE = ZoneId.of("Europe/London");
    static final Instant OPENED = Instant.parse("2026-11-24T14:32:10Z");

    static final List<String> BEFORE = List.of(
            "start=now",
            "location=picu",
            "kind=initial",
            "age=7",
            "age_unit=months",
            "weight=7.4",
            "cyanotic=no",
            "reason=oxygenation",
            "urgency=urgent",
            "difficulty=no");
    static final List<String> FIRST_PASS = List.of(
            "a1.who=me",
            "a1.setup=metal-handle",
            "a1.uses=6_20",
            "a1.look=screen",
            "a1.passes=1",
            "a1.end=stay",
            "a1.co2=yes",
            "a1.best=98",
            "a1.lowest=94",
            "a1.kit=none");

    static final Offered OFFERED = new Offered(
            new Site((short) 1, "harbour", "Harbour Children's Unit", "picu", ZONE, false),
            new Actor("A clinician", "senior", "25_100"),
            List.of(
                    setup("metal-handle", "Metal blade, straight, size 1", "video_standard", "handle"),
                    setup("metal-direct", "Metal blade, straight, size 1, no screen", "direct", "none")),
            Map.of(),
            false);

    private Fields() {}

    private static DeviceSetup setup(String id, String title, String mode, String screen) {
        return new DeviceSetup(
                id,
                title,
                new Answers(
                        Level.DEVICE_SETUP, Map.of("device_mode", mode, "display_mounting", screen), new TreeSet<>()));
    }

    /** Fields as "name=value"; one that comes again replaces the earlier, one without a value takes it away. */
    static Typed typed(List<String> fields, String... changes) {
        Map<String, List<String>> all = new LinkedHashMap<>();
        for (String field : fields) {
            all.put(name(field), List.of(value(field)));
        }
        for (String change : changes) {
            all.remove(name(change));
        }
        for (String change : changes) {
            if (!value(change).isEmpty()) {
                all.merge(name(change), List.of(value(change)), (a, b) -> {
                    List<String> both = new ArrayList<>(a);
                    both.addAll(b);
                    return both;
                });
            }
        }
        return new Typed(all);
    }

    /** A plain first pass with the events answered, and changes. */
    static Typed plain(String... changes) {
        List<String> fields = new ArrayList<>(BEFORE);
        fields.addAll(FIRST_PASS);
        fields.add("event=no");
        return typed(fields, changes);
    }

    static RecordForm form(Typed typed) {
        return new RecordForm(typed, OFFERED, OPENED);
    }

    private static String name(String field) {
        return field.substring(0, field.indexOf('='));
    }

    private static String value(String field) {
        return field.substring(field.indexOf('=') + 1);
    }
}
