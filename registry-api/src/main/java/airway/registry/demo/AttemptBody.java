package airway.registry.demo;

import static airway.registry.demo.EncounterBody.decimal;

import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.JsonNodeFactory;
import tools.jackson.databind.node.ObjectNode;

/** Writes one attempt of a case, complete. */
final class AttemptBody {
    private final Case truth;
    private final int index;
    private final Try attempt;
    private final Draws draws;
    private final ObjectNode body = JsonNodeFactory.instance.objectNode();

    private AttemptBody(Case truth, int index, Draws draws) {
        this.truth = truth;
        this.index = index;
        this.attempt = truth.tries().get(index);
        this.draws = draws;
    }

    static ObjectNode of(Case truth, int index, Draws draws) {
        AttemptBody writer = new AttemptBody(truth, index, draws);
        writer.operator();
        writer.laryngoscopy();
        if (writer.attempt.passes() > 0) {
            writer.tube();
        }
        writer.saturation();
        writer.result();
        writer.kit();
        return writer.body;
    }

    private void operator() {
        Operator operator = attempt.operator();
        body.put("device_setup_id", attempt.setup().id())
                .put("operator_grade", operator.grade())
                .put("operator_profession", operator.profession())
                .put("operator_experience", operator.experience())
                .put("operator_setup_uses", operator.uses())
                .put(
                        "supervision",
                        operator.novice()
                                ? draws.pick("hands_on 30, in_room 65, nearby 5")
                                : operator.grade().equals("specialist")
                                        ? "not_needed"
                                        : draws.pick("in_room 60, nearby 40"));
    }

    private void laryngoscopy() {
        SetupPlan setup = attempt.setup();
        // Screen viewed in 80 % of attempts with one (paediatric ED, by footage, 2019-21).
        if (setup.mode().equals("video_standard")) {
            body.put("look_target", draws.pick("screen 62, both 18, direct 20"));
        }
        if (setup.screen()) {
            body.put("view_screen", grade(attempt.success() ? 0 : 1));
        }
        if (!setup.mode().equals("video_hyper")) {
            body.put(
                    "view_direct",
                    setup.screen() && draws.chance(0.6) ? "not_looked" : grade(attempt.success() ? 1 : 2));
        }
        if (draws.chance(0.5)) {
            body.put(
                    "blade_tip",
                    draws.pick(
                            setup.geometry().equals("straight")
                                    ? "epiglottis 60, vallecula 40"
                                    : "vallecula 88, epiglottis 12"));
        }
        body.putArray("adjuncts")
                .add(draws.pick(
                        setup.mode().equals("video_hyper")
                                ? "stylet 90, none 10"
                                : "stylet 45, none 40, larynx_pressure 15"));
        body.put("tube_passes", attempt.passes());
        // Means 27 s with and 30 s without success, novices slower (newborns, Lane 2004); cut at the usual limits.
        double median = (attempt.success() ? 25 : 28) * (attempt.operator().novice() ? 1.2 : 0.95);
        body.put("attempt_duration_s", (int) Math.max(6, Math.min(280, draws.skewed(median, 0.5))))
                .put("attempt_duration_end", attempt.success() ? draws.pick("co2 60, tube_placed 40") : "blade_out");
    }

    /** View by how hard it was: each step moves weight from grade 1 to grades 3 and 4. */
    private String grade(int steps) {
        return draws.pick(
                switch (steps + (truth.child().hard() ? 1 : 0)) {
                    case 0 -> "1 68, 2a 22, 2b 8, 3a 2";
                    case 1 -> "1 42, 2a 28, 2b 17, 3a 10, 3b 3";
                    case 2 -> "1 20, 2a 24, 2b 23, 3a 20, 3b 8, 4 5";
                    default -> "1 8, 2a 14, 2b 22, 3a 28, 3b 16, 4 12";
                });
    }

    private void tube() {
        Child child = truth.child();
        double years = child.ageDays() / 365.25;
        double size = years < 1
                ? child.weight() < 1 ? 2.5 : child.weight() < 2.5 ? 3 : child.weight() < 6 ? 3.5 : 4
                : years < 18 ? Math.min(7, Math.round((years / 4 + 3.5) * 2) / 2.0) : 7.5;
        body.put("tube_size_mm", decimal(size))
                .put("tube_cuff", truth.unit().newborns() ? draws.pick("uncuffed 85, cuffed 15") : "cuffed")
                .put("tube_delivery", draws.pick(attempt.success() ? "1 60, 2 25, 3 10, 4 5" : "3 25, 4 40, 5 35"));
        if (attempt.success()) {
            boolean deep = truth.harms().stream()
                    .anyMatch(harm -> harm.type().equals("bronchial") && harm.attempt() == index + 1);
            body.put("tube_position", deep ? "bronchus" : "trachea");
            ArrayNode confirmation = body.putArray("confirmation");
            // Waveform 39 % in 2010-11, 53 % in 2015 (PICU, Langhan 2018); taken as more common since.
            confirmation.add(draws.pick(truth.unit().newborns() ? "colour 60, waveform 40" : "waveform 80, colour 20"));
            confirmation.add(draws.pick("chest 50, auscultation 50"));
            body.put("sustained_co2", draws.pick("yes 90, no 5, unk 5"));
        } else {
            body.put("tube_position", attempt.oesophagus() ? "oesophagus" : "pharynx");
            body.putArray("confirmation").add(attempt.oesophagus() ? draws.pick("waveform 60, colour 40") : "none");
            body.put("sustained_co2", "no");
        }
    }

    private void saturation() {
        body.put("spo2_start", truth.saturations().starts().get(index))
                .put("spo2_lowest", truth.saturations().lowest().get(index));
    }

    private void result() {
        body.put("attempt_success", EncounterBody.yes(attempt.success()));
        if (attempt.success()) {
            return;
        }
        ArrayNode reasons = body.putArray("failure_reason");
        reasons.add(
                attempt.oesophagus()
                        ? "wrong_place"
                        : attempt.passes() == 0
                                ? draws.pick("no_view 62, secretions 18, patient_moving 8, time 12")
                                : draws.pick("view_no_pass 74, tube_size 12, dislodged 6, other 8"));
        if (truth.saturations().lowest().get(index) < 75 && draws.chance(0.7)) {
            reasons.add("desaturation");
        }
        if (index + 1 < truth.tries().size()) {
            Try next = truth.tries().get(index + 1);
            ArrayNode changes = body.putArray("changes_before_next");
            if (!next.setup().equals(attempt.setup())) {
                changes.add("device");
            }
            if (!next.operator().equals(attempt.operator())) {
                changes.add("operator");
            }
            if (changes.isEmpty()) {
                changes.add(draws.pick("none 30, oxygenation 40, position 30"));
            }
        }
    }

    private void kit() {
        String issue = draws.pick(
                attempt.setup().mounting().equals("none")
                        ? "none 965, light 20, missing 5, wrong_size 10"
                        : attempt.setup().mounting().equals("cable")
                                ? "none 912, fogging 35, lens_soiled 25, screen 8, cable 12, battery 8"
                                : "none 922, fogging 35, lens_soiled 25, screen 8, battery 10");
        body.putArray("kit_issue").add(issue);
        if (!issue.equals("none")) {
            body.put(
                    "kit_issue_effect",
                    draws.pick(attempt.success() ? "no_effect 60, delay 40" : "delay 50, changed 30, lost_attempt 20"));
        }
    }
}
