package airway.registry.charts;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/**
 * Answers every measure from a record as the API gives it back, in plain loops and without the database: 1 yes, 0 no, -1
 * not known, null outside.
 *
 * <p>Source: the definitions of the registry (sections 2 to 5, the table of missing data last) and its list of measures;
 * beside each measure stands the row that it follows. Where these leave a choice, decision 0004.
 */
final class NaiveReader {
    private static final Set<String> TRACHEAL = Set.of("oral", "nasal", "via_sga", "stoma");
    private static final Set<String> TUBES = Set.of("oral", "nasal", "stoma");
    private static final Set<String> VIDEO = Set.of("video_standard", "video_hyper", "video_channel", "combined");
    private static final Set<String> GOOD = Set.of("1", "2a");
    private static final Set<String> GRADES = Set.of("1", "2a", "2b", "3a", "3b", "4");

    /** Source: definitions, section 3, column of scheme A (Lee 2016, table 4), with what is severe by our own decision. */
    private static final Set<String> SEVERE_A = Set.of(
            "arrest_rosc",
            "arrest_death",
            "cannot_oxygenate",
            "front_of_neck_emergency",
            "oesophageal_late",
            "aspiration",
            "hypotension_treated",
            "laryngospasm",
            "malignant_hyperthermia",
            "pneumothorax",
            "dental_trauma",
            "airway_injury");

    private final JsonNode record;
    private final List<JsonNode> attempts = new ArrayList<>();
    private final List<JsonNode> courses = new ArrayList<>();
    private final List<JsonNode> tracheal = new ArrayList<>();
    private final List<String> events = new ArrayList<>();
    private final String mode;

    /**
     * @param record a record of the API
     * @param modes kind of laryngoscope by key of the set-up; empty where it is blank
     */
    NaiveReader(JsonNode record, Map<String, String> modes) {
        this.record = record;
        for (JsonNode course : record.path("courses")) {
            for (JsonNode attempt : course.path("attempts")) {
                attempts.add(attempt);
                courses.add(course);
                if (TRACHEAL.contains(text(course, "course_approach"))) {
                    tracheal.add(attempt);
                }
            }
        }
        record.path("events").forEach(event -> events.add(text(event, "event_type")));
        this.mode = attempts.isEmpty() ? "" : modes.getOrDefault(text(attempts.get(0), "device_setup_id"), "");
    }

    /** By column of the fact row. */
    Map<String, @Nullable Integer> answers() {
        Map<String, @Nullable Integer> answers = new LinkedHashMap<>();
        boolean counts = !text(record, "encounter_kind").equals("tube_change")
                && !attempts.isEmpty()
                && TRACHEAL.contains(text(courses.get(0), "course_approach"));
        // Definitions, section 2 and its decision table; fps, fps_strict, fps_clean in the list.
        answers.put("fps", counts ? (Integer) first() : null);
        answers.put("fps_strict", counts ? (Integer) strict() : null);
        answers.put("fps_clean", counts ? (Integer) clean() : null);
        // success_2 and overall_success in the list: "the first attempt need not be known" holds for the second alone.
        answers.put("success_2", counts ? (Integer) withinTwo() : null);
        answers.put("overall_success", counts ? (Integer) ending() : null);
        answers.put("attempts_3plus", counts ? (Integer) three() : null);
        // Definitions, section 3; ae_any and ae_severe in the list.
        boolean change = text(record, "encounter_kind").equals("tube_change");
        answers.put("ae_any", change ? null : (Integer) event());
        answers.put("ae_severe_a", change ? null : (Integer) severe(true));
        answers.put("ae_severe_b", change ? null : (Integer) severe(false));
        answers.put("ae_severe_c", change ? null : (Integer) severe(true));
        // desat_80, desat_70, desat_20pt in the list and the table of missing data.
        answers.put("desat_80", under(80));
        answers.put("desat_70", under(70));
        answers.put("desat_20pt", attempts.isEmpty() ? null : (Integer) fall());
        // oesophageal_any, oesophageal_late in the list and the table of missing data.
        answers.put("oesophageal_any", counts ? (Integer) oesophageal() : null);
        answers.put("oesophageal_late", counts ? (Integer) late() : null);
        // The measures of process and set-up in the list, in its order.
        answers.put("capno_used", waveform());
        answers.put("sustained_co2", sustained());
        answers.put("checklist", checklist());
        answers.put("apnoeic_o2", apnoeic());
        answers.put("nmb_used", relaxant());
        answers.put("video_used", attempts.isEmpty() ? null : (Integer) video());
        answers.put("screen_looked", screen());
        answers.put("good_view_no_pass", noPass());
        answers.put("room_for_tube", room());
        answers.put("kit_failure_use", kit());
        // Definitions, section 3: several rows of one type count each; a failure of the kit is told apart.
        answers.put("event_count", change ? null : (Integer) number());
        // spo2_low_median in the list and the table of missing data.
        answers.put("spo2_low", attempts.isEmpty() ? null : (Integer) trusted());
        // duration_success in the list: one clock-stop each, never pooled.
        for (String stop : List.of("co2", "tube_placed", "confirmed", "blade_out")) {
            answers.put("duration_" + stop, seconds(stop));
        }
        return answers;
    }

    private int number() {
        int harms = 0;
        for (String type : events) {
            harms += type.equals("kit_failure") ? 0 : 1;
        }
        return event() == 1 && harms == 0 ? -1 : event() < 0 ? -1 : harms;
    }

    private int trusted() {
        @Nullable Integer lowest = lowest();
        return lowest == null || untrusted() || !complete() ? -1 : lowest;
    }

    private @Nullable Integer seconds(String stop) {
        boolean open = false;
        for (JsonNode attempt : tracheal) {
            String success = text(attempt, "attempt_success");
            open |= success.equals("unk");
            if (success.equals("yes")) {
                @Nullable Integer seconds = number(attempt, "attempt_duration_s");
                String stopped = text(attempt, "attempt_duration_end");
                boolean told = !stopped.isEmpty() && !stopped.equals("unk");
                if (seconds == null || !told) {
                    return -1;
                }
                return stopped.equals(stop) ? seconds : null;
            }
        }
        return open ? Integer.valueOf(-1) : null;
    }

    private int first() {
        return yesNo(text(attempts.get(0), "attempt_success"));
    }

    private int strict() {
        if (first() != 1) {
            return first();
        }
        JsonNode passes = attempts.get(0).path("tube_passes");
        return passes.isNumber() ? (passes.asInt() == 1 ? 1 : 0) : -1;
    }

    private int clean() {
        if (first() != 1) {
            return first();
        }
        int event = event();
        int low = desaturation();
        if (event == 1 || low == 1) {
            return 0;
        }
        return event == 0 && low == 0 ? 1 : -1;
    }

    /** The desaturation that spoils a clean first pass. */
    private int desaturation() {
        @Nullable Integer lowest = lowest();
        if (lowest == null) {
            return -1;
        }
        @Nullable Integer best = best();
        String cyanotic = text(record, "cyanotic_heart_disease");
        boolean low = best != null && best < 90;
        if (cyanotic.equals("no") && lowest < 70) {
            return 1;
        }
        if (cyanotic.equals("yes") || low) {
            if (best == null) {
                return -1;
            }
            if (best - lowest >= 20) {
                return 1;
            }
            boolean fixedLimit = !cyanotic.equals("yes") && !cyanotic.equals("no");
            return complete() && !(fixedLimit && lowest < 70) ? 0 : -1;
        }
        if (best == null) {
            return -1;
        }
        return lowest < 80 ? 1 : complete() ? 0 : -1;
    }

    private int withinTwo() {
        int first = first();
        if (first != 0) {
            return first;
        }
        return tracheal.size() < 2 ? 0 : yesNo(text(tracheal.get(1), "attempt_success"));
    }

    private int ending() {
        String airway = text(record, "final_airway");
        return airway.isEmpty() ? -1 : TUBES.contains(airway) ? 1 : 0;
    }

    private int three() {
        int number = 0;
        for (JsonNode attempt : tracheal) {
            number++;
            if (text(attempt, "attempt_success").equals("unk")) {
                return -1;
            }
            if (text(attempt, "attempt_success").equals("yes")) {
                break;
            }
        }
        return number >= 3 ? 1 : 0;
    }

    private int event() {
        if (events.stream().anyMatch(type -> !type.equals("kit_failure"))) {
            return 1;
        }
        String any = text(record, "adverse_event_any");
        return any.equals("yes") ? (events.isEmpty() ? 1 : 0) : any.equals("no") ? 0 : -1;
    }

    /** A tooth injury is what the two published lists differ in. */
    private int severe(boolean tooth) {
        if (events.stream().anyMatch(type -> SEVERE_A.contains(type) && (tooth || !type.equals("dental_trauma")))) {
            return 1;
        }
        boolean unnamed = event() == 1 && events.isEmpty();
        return events.contains("other") || unnamed || event() == -1 ? -1 : 0;
    }

    private @Nullable Integer under(int limit) {
        @Nullable Integer best = best();
        if (attempts.isEmpty()
                || (best != null && best < 90)
                || text(record, "cyanotic_heart_disease").equals("yes")) {
            return null;
        }
        @Nullable Integer lowest = lowest();
        if (best == null || lowest == null || untrusted()) {
            return -1;
        }
        return lowest < limit ? 1 : complete() ? 0 : -1;
    }

    private int fall() {
        @Nullable Integer best = best();
        @Nullable Integer lowest = lowest();
        if (best == null || lowest == null || untrusted()) {
            return -1;
        }
        return best - lowest >= 20 ? 1 : complete() ? 0 : -1;
    }

    private @Nullable Integer best() {
        return attempts.isEmpty() ? null : number(courses.get(0), "spo2_best_before");
    }

    private @Nullable Integer lowest() {
        @Nullable Integer lowest = number(record, "spo2_lowest_overall");
        for (JsonNode attempt : attempts) {
            @Nullable Integer one = number(attempt, "spo2_lowest");
            if (one != null && (lowest == null || one < lowest)) {
                lowest = one;
            }
        }
        return lowest;
    }

    private boolean complete() {
        return number(record, "spo2_lowest_overall") != null
                || attempts.stream().allMatch(attempt -> number(attempt, "spo2_lowest") != null);
    }

    private boolean untrusted() {
        return attempts.stream().anyMatch(attempt -> Set.of("poor", "none").contains(text(attempt, "spo2_quality")));
    }

    private int oesophageal() {
        boolean placed = attempts.stream()
                .anyMatch(attempt -> text(attempt, "tube_position").equals("oesophagus"));
        if (placed || events.contains("oesophageal_now") || events.contains("oesophageal_late")) {
            return 1;
        }
        boolean everyPlace = true;
        for (JsonNode attempt : tracheal) {
            String place = text(attempt, "tube_position");
            boolean noTube = place.isEmpty()
                    && attempt.path("tube_passes").isNumber()
                    && attempt.path("tube_passes").asInt() == 0;
            everyPlace &= noTube || Set.of("trachea", "bronchus", "pharynx").contains(place);
        }
        return eventsNamed() || everyPlace ? 0 : -1;
    }

    private int late() {
        return events.contains("oesophageal_late") ? 1 : eventsNamed() ? 0 : -1;
    }

    /** The events are told, and not only that there was one. */
    private boolean eventsNamed() {
        return event() == 0 || (event() == 1 && !events.isEmpty());
    }

    private @Nullable JsonNode placing() {
        @Nullable JsonNode placing = null;
        for (JsonNode attempt : tracheal) {
            placing = text(attempt, "attempt_success").equals("yes") ? attempt : placing;
        }
        return placing;
    }

    private @Nullable Integer waveform() {
        if (attempts.isEmpty() || ending() == 0) {
            return null;
        }
        JsonNode placing = placing();
        List<String> ways = placing == null ? List.of() : list(placing, "confirmation");
        return ending() < 0 || ways.isEmpty() || ways.equals(List.of("unk")) ? -1 : ways.contains("waveform") ? 1 : 0;
    }

    private @Nullable Integer sustained() {
        if (attempts.isEmpty() || ending() == 0) {
            return null;
        }
        if (ending() < 0) {
            return -1;
        }
        JsonNode placing = placing();
        return placing != null && text(placing, "sustained_co2").equals("yes") ? 1 : 0;
    }

    private @Nullable Integer checklist() {
        boolean arrest = text(record, "indication_main").equals("arrest")
                || list(record, "indication").contains("arrest");
        if (attempts.isEmpty() || (arrest && text(record, "urgency").equals("emergency"))) {
            return null;
        }
        return switch (text(courses.get(0), "checklist_used")) {
            case "used" -> 1;
            case "not_used" -> 0;
            case "none" -> null;
            default -> -1;
        };
    }

    private @Nullable Integer apnoeic() {
        if (attempts.isEmpty()) {
            return null;
        }
        return switch (text(courses.get(0), "apnoeic_oxygenation")) {
            case "", "unk" -> -1;
            case "none" -> 0;
            default -> 1;
        };
    }

    private @Nullable Integer relaxant() {
        return attempts.isEmpty() || text(record, "indication_main").equals("arrest")
                ? null
                : (Integer) yesNo(text(courses.get(0), "neuromuscular_block"));
    }

    private int video() {
        return mode.isEmpty() ? -1 : VIDEO.contains(mode) ? 1 : 0;
    }

    private @Nullable Integer screen() {
        if (attempts.isEmpty() || !Set.of("", "video_standard").contains(mode)) {
            return null;
        }
        if (mode.isEmpty()) {
            return -1;
        }
        return switch (text(attempts.get(0), "look_target")) {
            case "screen", "both" -> 1;
            case "direct" -> 0;
            default -> -1;
        };
    }

    private @Nullable Integer noPass() {
        if (attempts.isEmpty()) {
            return null;
        }
        JsonNode attempt = attempts.get(0);
        List<String> views = new ArrayList<>();
        if (!text(attempt, "look_target").equals("screen")) {
            views.add(text(attempt, "view_direct"));
        }
        if (!text(attempt, "look_target").equals("direct")) {
            views.add(text(attempt, "view_screen"));
        }
        if (views.stream().noneMatch(GOOD::contains)) {
            boolean graded = views.stream().anyMatch(GRADES::contains);
            boolean asked = mode.isEmpty() || mode.equals("direct") || VIDEO.contains(mode);
            return graded || !asked ? null : Integer.valueOf(-1);
        }
        if (first() != 0) {
            return first() == 1 ? 0 : -1;
        }
        List<String> reasons = list(attempt, "failure_reason");
        return reasons.isEmpty() || reasons.equals(List.of("unk")) ? -1 : reasons.contains("view_no_pass") ? 1 : 0;
    }

    private @Nullable Integer room() {
        if (attempts.isEmpty()) {
            return null;
        }
        return switch (text(attempts.get(0), "space_for_tube")) {
            case "1", "2" -> 0;
            case "3", "4", "5" -> 1;
            default -> -1;
        };
    }

    private @Nullable Integer kit() {
        if (attempts.isEmpty()) {
            return null;
        }
        if (list(attempts.get(0), "kit_issue").isEmpty()) {
            return -1;
        }
        return attempts.stream()
                        .flatMap(attempt -> list(attempt, "kit_issue").stream())
                        .anyMatch(issue -> !issue.equals("none"))
                ? 1
                : 0;
    }

    private static int yesNo(String answer) {
        return answer.equals("yes") ? 1 : answer.equals("no") ? 0 : -1;
    }

    private static String text(JsonNode node, String name) {
        return node.path(name).isString() ? node.path(name).asString() : "";
    }

    private static @Nullable Integer number(JsonNode node, String name) {
        return node.path(name).isNumber() ? (Integer) node.path(name).asInt() : null;
    }

    private static List<String> list(JsonNode node, String name) {
        List<String> values = new ArrayList<>();
        node.path(name).forEach(value -> values.add(value.asString()));
        return values;
    }
}
