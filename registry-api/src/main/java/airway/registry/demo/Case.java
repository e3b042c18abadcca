package airway.registry.demo;

import java.time.OffsetDateTime;
import java.util.List;

/**
 * One encounter as it was in truth; what is recorded of it is less.
 *
 * @param changed after the change of practice
 * @param recorder who filled in the record
 */
record Case(
        UnitPlan unit,
        OffsetDateTime start,
        String kind,
        boolean changed,
        String urgency,
        String recorder,
        Child child,
        List<Try> tries,
        Saturations saturations,
        List<Harms.Harm> harms) {

    boolean selfReported() {
        return recorder.equals("operator");
    }

    boolean succeeded() {
        return tries.get(tries.size() - 1).success();
    }

    boolean harmed(String type) {
        return harms.stream().anyMatch(harm -> harm.type().equals(type));
    }

    boolean arrest() {
        return harmed("arrest_rosc") || harmed("arrest_death");
    }

    boolean died() {
        return harmed("arrest_death") && !succeeded();
    }
}
