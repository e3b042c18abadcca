package airway.registry.demo;

import java.math.BigDecimal;
import java.util.List;
import java.util.Locale;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.JsonNodeFactory;
import tools.jackson.databind.node.ObjectNode;

/** Writes a case as the body of a record, complete; the gaps come afterwards. */
final class EncounterBody {
    private static final JsonNodeFactory JSON = JsonNodeFactory.instance;

    private final Case truth;
    private final Draws draws;
    private final ObjectNode body = JSON.objectNode();

    private EncounterBody(Case truth, Draws draws) {
        this.truth = truth;
        this.draws = draws;
    }

    static ObjectNode of(Case truth, Draws draws) {
        EncounterBody writer = new EncounterBody(truth, draws);
        writer.head();
        writer.child();
        writer.courses();
        writer.events();
        return writer.body;
    }

    private void head() {
        body.put("site_id", truth.unit().code())
                .put("encounter_kind", truth.kind())
                .put("encounter_start", truth.start().toString())
                .put("recorder_role", truth.recorder())
                .put("location", location())
                .put("urgency", truth.urgency())
                .put("diagnosis_category", diagnosis())
                .put("circulation_unstable", yes(draws.chance(truth.unit().newborns() ? 0.15 : 0.28)));
        String main = draws.pick(
                truth.unit().newborns()
                        ? "oxygenation 28, ventilation 26, apnoea 16, surfactant 20, procedure 7, device_fault 3"
                        : "oxygenation 34, ventilation 24, apnoea 6, consciousness 9, shock 9, procedure 10,"
                                + " obstruction_risk 5, neuro_control 3");
        body.put("indication_main", main);
        ArrayNode all = body.putArray("indication").add(main);
        if (draws.chance(0.35) && !main.equals("ventilation")) {
            all.add("ventilation");
        }
    }

    private String location() {
        return switch (truth.unit().kind()) {
            case "picu" -> "picu";
            case "nicu" -> "nicu";
            default -> truth.child().band().equals("adult") ? "icu_adult" : "picu";
        };
    }

    private String diagnosis() {
        return draws.pick(
                truth.unit().newborns()
                        ? (truth.child().gestation() < 37 ? "prematurity 64, " : "")
                                + "resp_lower 20, congenital 12, sepsis 8, surgical 5, cardiac_med 3"
                        : truth.child().cyanotic()
                                ? "cardiac_surg 70, cardiac_med 30"
                                : "resp_lower 40, resp_upper 7, neuro 15, sepsis 12, cardiac_med 8, trauma 5, surgical 6,"
                                        + " toxic 2, other 5");
    }

    private void child() {
        Child child = truth.child();
        body.put("age_days", child.ageDays())
                .put("age_precision", child.ageDays() < 60 ? "days" : "exact")
                .put("weight_kg", decimal(child.weight()))
                .put("cyanotic_heart_disease", yes(child.cyanotic()))
                .put("difficulty_predicted", yes(child.expected()))
                .put("difficult_airway_history", yes(child.history()));
        Child.FEATURES.forEach(feature -> body.put(feature, yes(child.features().contains(feature))));
        if (draws.chance(0.5)) {
            body.put("difficulty_written_before", yes(draws.chance(truth.changed() ? 0.8 : 0.5)));
        }
        ObjectNode patient = body.putObject("patient").put("sex", draws.pick("f 45, m 55"));
        if (child.gestation() > 0) {
            patient.put("gestation_weeks", child.gestation());
        }
        // Not drawn, so that a scenario stays what it was.
        int family = Math.floorMod(truth.start().hashCode(), 20);
        patient.put("research_opt_out", family == 0 ? "yes" : family == 1 ? "unk" : "no");
    }

    private void courses() {
        ArrayNode courses = body.putArray("courses");
        ObjectNode course = courses.addObject();
        // Nasal 16 of 197 (one PICU, Nishisaki 2010).
        String route = draws.chance(0.08) ? "nasal" : "oral";
        String checklist = draws.pick(truth.changed() ? "used 88, not_used 12" : "used 48, not_used 40, none 12");
        course.put("course_approach", route)
                .put("checklist_used", checklist)
                .put("spo2_best_before", truth.saturations().best());
        course.putArray("preoxygenation").add(draws.pick("bag_mask 50, mask 20, niv 15, hfnc 15"));
        drugs(course);
        ArrayNode attempts = course.putArray("attempts");
        for (int i = 0; i < truth.tries().size(); i++) {
            attempts.add(AttemptBody.of(truth, i, draws));
        }
        if (truth.succeeded()) {
            course.put("course_result", "success");
            body.put("final_airway", route);
            body.put("tube_depth_cm", decimal(depth()));
        } else if (truth.died()) {
            course.put("course_result", "died");
            body.put("final_airway", "died");
        } else if (draws.chance(0.6) && !truth.harmed("arrest_death")) {
            course.put("course_result", "changed");
            rescue(courses);
        } else {
            course.put("course_result", "stopped");
            body.put("final_airway", "mask");
        }
    }

    private void rescue(ArrayNode courses) {
        ObjectNode rescue = courses.addObject().put("course_approach", "sga").put("course_result", "success");
        rescue.putArray("attempts")
                .addObject()
                .put("attempt_success", "yes")
                .put("operator_grade", "specialist")
                .put("operator_experience", "gt100");
        body.put("final_airway", "sga");
    }

    private void drugs(ObjectNode course) {
        boolean relaxed = draws.chance(truth.unit().newborns() ? 0.62 : 0.90);
        ArrayNode drugs = course.putArray("drugs");
        if (draws.chance(truth.unit().newborns() ? 0.85 : 0.97)) {
            drugs.addObject()
                    .put(
                            "drug_agent",
                            draws.pick(
                                    truth.unit().newborns()
                                            ? "fentanyl 75, morphine 15, ketamine 10"
                                            : "ketamine 45, fentanyl 25, propofol 18, midazolam 12"));
        }
        if (draws.chance(truth.unit().newborns() ? 0.55 : 0.22)) {
            drugs.addObject().put("drug_agent", "atropine");
        }
        if (relaxed) {
            drugs.addObject().put("drug_agent", draws.pick("rocuronium 70, suxamethonium 20, vecuronium 10"));
        }
        if (drugs.isEmpty()) {
            drugs.addObject().put("drug_agent", "none");
        }
        course.put("neuromuscular_block", yes(relaxed));
    }

    private void events() {
        body.put("adverse_event_any", yes(!truth.harms().isEmpty()));
        ArrayNode events = body.putArray("events");
        for (Harms.Harm harm : truth.harms()) {
            ObjectNode event =
                    events.addObject().put("event_type", harm.type()).put("event_attempt_no", harm.attempt());
            List<String> done = switch (harm.type()) {
                case "oesophageal_now", "oesophageal_late" -> List.of("tube_out", "ventilation");
                case "arrest_rosc", "arrest_death" -> List.of("compressions", "vasoactive");
                case "hypotension_treated" -> List.of("fluid");
                case "bronchial" -> List.of("tube_moved");
                case "pneumothorax" -> List.of("drain");
                case "vomiting", "aspiration" -> List.of("suction");
                case "lip_trauma", "epistaxis" -> List.of("none");
                default -> List.of("ventilation");
            };
            ArrayNode interventions = event.putArray("event_intervention");
            done.forEach(interventions::add);
            event.put(
                    "event_outcome",
                    harm.type().equals("arrest_death")
                            ? "died"
                            : draws.pick("resolved 90, continuing 7, temporary_harm 3"));
        }
    }

    private double depth() {
        Child child = truth.child();
        double years = child.ageDays() / 365.25;
        double usual = years < 1 ? Math.min(11, child.weight() + 6) : years < 18 ? years / 2 + 12 : 21.5;
        return Math.round(Math.max(5.5, draws.normal(usual, 0.4)) * 2) / 2.0;
    }

    static String yes(boolean is) {
        return is ? "yes" : "no";
    }

    /** A number without the tail that binary fractions grow. */
    static BigDecimal decimal(double value) {
        return new BigDecimal(String.format(Locale.ROOT, "%.2f", value)).stripTrailingZeros();
    }
}
