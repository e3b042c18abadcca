package airway.registry.demo;

import airway.registry.dictionary.Dictionary;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ObjectNode;

/**
 * What nobody wrote down, as blank or as "not known"; more of it after an arrest, in a hurry, by those who did it
 * themselves, and so not at random.
 */
final class Gaps {
    private final Case truth;
    private final Draws draws;
    private final double more;

    private Gaps(Case truth, Draws draws) {
        this.truth = truth;
        this.draws = draws;
        this.more = (truth.urgency().equals("emergency") ? 1.4 : 1)
                * (truth.recorder().equals("later_chart") ? 1.6 : 1);
    }

    /**
     * Takes answers away.
     *
     * @param outcomesKnown the first attempt's result must stay
     */
    static void make(ObjectNode body, Case truth, boolean outcomesKnown, Draws draws) {
        Gaps gaps = new Gaps(truth, draws);
        gaps.encounter(body);
        gaps.events(body);
        for (JsonNode course : body.path("courses")) {
            gaps.course((ObjectNode) course);
            for (JsonNode attempt : course.path("attempts")) {
                gaps.attempt((ObjectNode) attempt);
            }
        }
        if (!outcomesKnown && truth.tries().size() == 1 && draws.chance(0.004)) {
            ((ObjectNode) body.at("/courses/0/attempts/0")).put("attempt_success", "unk");
        }
    }

    private void encounter(ObjectNode body) {
        gap(body, "weight_kg", 0.015, 0.01);
        gap(body, "cyanotic_heart_disease", 0.02, 0.01);
        gap(body, "difficulty_predicted", 0.03, 0.03);
        gap(body, "difficult_airway_history", 0.05, 0.10);
        if (!body.path("difficulty_predicted").asString("").matches("yes|no")) {
            body.remove("difficulty_written_before");
        }
        Child.FEATURES.forEach(feature -> gap(body, feature, 0.07, 0.03));
        gap(body, "circulation_unstable", 0.08, 0.02);
        gap(body, "diagnosis_category", 0.03, 0);
        gap(body, "tube_depth_cm", 0.35, 0.02);
        ObjectNode patient = (ObjectNode) body.path("patient");
        gap(patient, "gestation_weeks", truth.unit().newborns() ? 0.01 : 0.15, 0.04);
    }

    /** Harm is left unanswered more often where there was some. */
    private void events(ObjectNode body) {
        double factor = truth.harms().isEmpty() ? 1 : 1.5;
        gap(body, "adverse_event_any", 0.02 * factor, 0.015 * factor);
        if (!body.path("adverse_event_any").asString("").equals("yes")) {
            body.putArray("events");
        }
        for (JsonNode event : body.path("events")) {
            gap((ObjectNode) event, "event_attempt_no", 0.03, 0.02);
            gap((ObjectNode) event, "event_outcome", 0.08, 0.03);
        }
    }

    private void course(ObjectNode course) {
        gap(course, "spo2_best_before", 0.03, 0.015);
        gap(course, "checklist_used", 0.06, 0.03);
        gap(course, "preoxygenation", 0.20, 0);
        gap(course, "neuromuscular_block", 0.02, 0.01);
    }

    private void attempt(ObjectNode attempt) {
        gap(attempt, "operator_experience", 0.02, 0.03);
        gap(attempt, "operator_setup_uses", 0.05, 0.08);
        gap(attempt, "supervision", 0.06, 0.01);
        gap(attempt, "look_target", 0.06, 0.05);
        gap(attempt, "view_screen", 0.08, 0.03);
        gap(attempt, "view_direct", 0.08, 0.03);
        // Saturation is missing more in arrests and by self-report (definitions, and Kerrey 2012 on what records miss).
        double blind = (truth.arrest() ? 4 : 1) * (truth.selfReported() ? 1.4 : 0.8);
        gap(attempt, "spo2_lowest", 0.025 * blind, 0.025 * blind);
        gap(attempt, "spo2_start", 0.08, 0.02);
        gap(attempt, "attempt_duration_s", truth.selfReported() ? 0.42 : 0.26, 0.05);
        if (!attempt.has("attempt_duration_s")) {
            attempt.remove("attempt_duration_end");
        }
        gap(attempt, "tube_passes", 0.04, 0.02);
        gap(attempt, "tube_delivery", 0.10, 0.02);
        gap(attempt, "tube_size_mm", 0.04, 0);
        gap(attempt, "confirmation", 0.03, 0.02);
        gap(attempt, "sustained_co2", 0.04, 0);
        gap(attempt, "failure_reason", 0.04, 0);
        gap(attempt, "kit_issue", 0.10, 0.02);
        if (!attempt.has("kit_issue")) {
            attempt.remove("kit_issue_effect");
        }
    }

    /** Takes one answer away: as a blank with one probability, as "not known" with another. */
    private void gap(ObjectNode object, String variable, double blank, double notKnown) {
        double draw = draws.between(0, 1);
        if (!object.has(variable) || draw >= (blank + notKnown) * more) {
            return;
        }
        object.remove(variable);
        if (draw >= blank * more) {
            if (Dictionary.current().variable(variable).hasOwnUnknown()) {
                object.put(variable, "unk");
            } else {
                object.withArray("unknown").add(variable);
            }
        }
    }
}
