package airway.registry.demo;

import java.util.ArrayList;
import java.util.List;

/** Adverse events of one encounter. */
final class Harms {
    /**
     * One event.
     *
     * @param attempt during or after which, 0 before the first
     */
    record Harm(String type, int attempt) {}

    /** Percent of records by attempts 1, 2, 3 or more (PICU, Lee 2016 table 4). */
    private record Rate(String type, double one, double two, double more) {
        double of(int attempts) {
            return (attempts == 1 ? one : attempts == 2 ? two : more) / 100;
        }
    }

    /** Dysrhythmia is one line there; three in four are taken as a slow heart. Aspiration's last figure is faulty there: ours. */
    private static final List<Rate> RATES = List.of(
            new Rate("arrest_rosc", 1.0, 1.6, 3.4),
            new Rate("arrest_death", 0.2, 0.8, 0.3),
            new Rate("hypotension_treated", 3.3, 4.0, 2.2),
            new Rate("bronchial", 2.0, 4.8, 5.3),
            new Rate("bradycardia", 0.6, 2.2, 2.1),
            new Rate("dysrhythmia", 0.2, 0.8, 0.7),
            new Rate("laryngospasm", 0.1, 0.2, 0.6),
            new Rate("pneumothorax", 0.2, 0.0, 0.6),
            new Rate("lip_trauma", 0.1, 0.6, 1.6),
            new Rate("epistaxis", 0.2, 0.4, 0.3),
            new Rate("vomiting", 0.7, 0.6, 1.3),
            new Rate("aspiration", 0.4, 1.2, 1.5));

    private Harms() {}

    static List<Harm> draw(UnitPlan unit, List<Try> tries, Draws draws) {
        List<Harm> harms = new ArrayList<>();
        for (int i = 0; i < tries.size(); i++) {
            if (tries.get(i).oesophagus()) {
                // Late: 0.2, 1.0, 1.6 % against 0.8, 14.7, 27.4 % at once (Lee 2016).
                harms.add(new Harm(draws.chance(0.06) ? "oesophageal_late" : "oesophageal_now", i + 1));
            }
        }
        boolean succeeded = tries.get(tries.size() - 1).success();
        for (Rate rate : RATES) {
            double share = rate.of(tries.size()) * (rate.type().equals("bradycardia") ? unit.slow() : 1);
            boolean fits = !rate.type().equals("bronchial") || succeeded;
            if (draws.chance(share) && fits) {
                boolean last = rate.type().equals("bronchial") || rate.type().equals("arrest_death");
                harms.add(new Harm(rate.type(), last ? tries.size() : draws.whole(1, tries.size())));
            }
        }
        return List.copyOf(harms);
    }
}
