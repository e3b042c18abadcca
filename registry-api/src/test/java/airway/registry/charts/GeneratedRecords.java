package airway.registry.charts;

import java.util.List;
import java.util.Random;
import java.util.Set;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/**
 * Records from a seed in which every answer that a measure reads is given, not known or blank, often enough to meet each
 * other. Life is not drawn here: what is rare there is common here.
 */
final class GeneratedRecords {
    /** Kinds of laryngoscope, by key of the set-up; the last one leaves it blank. */
    static final List<String> MODES =
            List.of("direct", "video_standard", "video_hyper", "video_channel", "combined", "flexible", "sga", "");

    private static final JsonMapper JSON = new JsonMapper();
    private static final List<String> YES_NO = List.of("yes", "no", "unk");
    private static final List<String> VIEWS = List.of("1", "2a", "2b", "3a", "3b", "4", "not_looked", "unk");
    private static final List<String> EVENTS = List.of(
            "oesophageal_now",
            "oesophageal_late",
            "kit_failure",
            "other",
            "dental_trauma",
            "hypotension_treated",
            "bradycardia",
            "bronchial",
            "lip_trauma");

    private final Random random;
    private final String unit;

    GeneratedRecords(long seed, String unit) {
        this.random = new Random(seed);
        this.unit = unit;
    }

    ObjectNode next() {
        ObjectNode record = JSON.createObjectNode();
        record.put("site_id", unit);
        record.put("encounter_kind", chance(8) ? "tube_change" : "initial");
        record.put(
                "encounter_start",
                "2026-%02d-%02dT%02d:%02d:00+00:00"
                        .formatted(
                                1 + random.nextInt(10),
                                1 + random.nextInt(28),
                                random.nextInt(24),
                                random.nextInt(60)));
        maybe(record, "cyanotic_heart_disease", List.of("no", "no", "no", "yes", "unk"));
        maybe(record, "urgency", List.of("emergency", "urgent", "elective", "unk"));
        if (chance(2)) {
            ArrayNode reasons = record.putArray("indication").add("oxygenation");
            if (chance(2)) {
                reasons.add("arrest");
            }
            record.put(
                    "indication_main",
                    reasons.get(random.nextInt(reasons.size())).asString());
        }
        maybe(record, "final_airway", List.of("oral", "oral", "oral", "nasal", "stoma", "sga", "own", "front_of_neck"));
        ArrayNode courses = record.putArray("courses");
        for (int number = chance(10) ? 0 : 1 + random.nextInt(2); number > 0; number--) {
            course(courses.addObject());
        }
        int attempts = courses.findValues("attempt_success").size();
        int lowest = courses.findValues("spo2_lowest").size();
        // Asked only where a reading of an attempt is missing.
        if (attempts > lowest && chance(3)) {
            record.put("spo2_lowest_overall", saturation());
        }
        events(record);
        return record;
    }

    private void course(ObjectNode course) {
        course.put("course_approach", one(List.of("oral", "oral", "oral", "nasal", "via_sga", "stoma", "sga")));
        maybe(course, "checklist_used", List.of("used", "not_used", "none", "unk"));
        maybe(course, "apnoeic_oxygenation", List.of("none", "nasal_low", "blade", "unk"));
        maybe(course, "neuromuscular_block", YES_NO);
        int best = chance(4) ? 80 + random.nextInt(10) : 90 + random.nextInt(11);
        boolean told = !chance(6);
        if (told) {
            course.put("spo2_best_before", best);
        }
        ArrayNode attempts = course.putArray("attempts");
        int number = chance(8) ? 0 : 1 + random.nextInt(3);
        for (int i = 0; i < number; i++) {
            attempt(attempts.addObject(), told ? best : 100);
        }
    }

    private void attempt(ObjectNode attempt, int most) {
        String mode = one(MODES);
        if (!chance(8)) {
            attempt.put("device_setup_id", setup(mode));
        } else {
            mode = "";
        }
        String success = one(List.of("yes", "yes", "no", "no", "no", "unk"));
        attempt.put("attempt_success", success);
        int passes = success.equals("yes") ? 1 + random.nextInt(2) : random.nextInt(3);
        if (!chance(5)) {
            attempt.put("tube_passes", passes);
        }
        if (!attempt.has("tube_passes") || passes > 0) {
            maybe(attempt, "tube_position", List.of("trachea", "trachea", "trachea", "oesophagus", "bronchus", "unk"));
            maybe(attempt, "sustained_co2", YES_NO);
            list(attempt, "confirmation", List.of("waveform", "colour", "seen"));
        }
        if (success.equals("no")) {
            list(attempt, "failure_reason", List.of("view_no_pass", "no_view", "handover"));
        }
        if (Set.of("", "video_standard", "video_channel", "combined").contains(mode)) {
            maybe(attempt, "look_target", List.of("direct", "screen", "both", "unk"));
        }
        if (Set.of("", "direct", "video_standard").contains(mode)) {
            maybe(attempt, "view_direct", VIEWS);
        }
        if (Set.of("", "video_standard", "video_hyper", "video_channel", "combined")
                .contains(mode)) {
            maybe(attempt, "view_screen", VIEWS);
        }
        maybe(attempt, "space_for_tube", List.of("1", "2", "3", "4", "5", "unk"));
        if (!chance(5)) {
            attempt.put("spo2_lowest", Math.min(most, saturation()));
        }
        if (!chance(4)) {
            attempt.put("attempt_duration_s", 10 + random.nextInt(90));
            maybe(
                    attempt,
                    "attempt_duration_end",
                    List.of("co2", "co2", "tube_placed", "confirmed", "blade_out", "unk"));
        }
        if (chance(3)) {
            attempt.put("spo2_quality", one(List.of("good", "good", "good", "poor", "none", "unk")));
        }
        if (chance(2)) {
            attempt.putArray("kit_issue").add(one(List.of("none", "none", "light", "fogging")));
        }
    }

    private void events(ObjectNode record) {
        String any = one(List.of("", "no", "no", "yes", "yes", "unk"));
        if (!any.isEmpty()) {
            record.put("adverse_event_any", any);
        }
        if (any.equals("yes") || (any.isEmpty() && chance(3))) {
            ArrayNode events = record.putArray("events");
            for (int number = random.nextInt(3); number > 0; number--) {
                events.addObject().put("event_type", one(EVENTS));
            }
        }
    }

    /** Key of the set-up of a kind. */
    static String setup(String mode) {
        return mode.isEmpty() ? "blank" : mode;
    }

    private int saturation() {
        return chance(2) ? 50 + random.nextInt(51) : 80 + random.nextInt(21);
    }

    private void list(ObjectNode object, String name, List<String> codes) {
        switch (random.nextInt(6)) {
            case 0 -> {}
            case 1 -> object.putArray(name).add("unk");
            case 2 -> codes.forEach(object.putArray(name)::add);
            default -> object.putArray(name).add(one(codes));
        }
    }

    private void maybe(ObjectNode object, String name, List<String> codes) {
        if (!chance(6)) {
            object.put(name, one(codes));
        }
    }

    private String one(List<String> codes) {
        return codes.get(random.nextInt(codes.size()));
    }

    private boolean chance(int oneIn) {
        return random.nextInt(oneIn) == 0;
    }
}
