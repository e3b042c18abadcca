package airway.stats.survival;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** The times at which events came, with how many were at risk just before. */
final class RiskSets {

    private RiskSets() {}

    /**
     * One time with events.
     *
     * @param time the time
     * @param atRisk cases not yet ended before it; those that ended at this time without event are still at risk
     * @param events events at it
     */
    record AtTime(double time, int atRisk, int events) {}

    static List<AtTime> of(List<Observation> observations) {
        List<Observation> inOrder = new ArrayList<>(observations);
        inOrder.sort(Comparator.comparingDouble(Observation::time));
        List<AtTime> sets = new ArrayList<>();
        int from = 0;
        while (from < inOrder.size()) {
            double time = inOrder.get(from).time();
            int to = from;
            int events = 0;
            while (to < inOrder.size() && inOrder.get(to).time() == time) {
                events += inOrder.get(to).event() ? 1 : 0;
                to++;
            }
            if (events > 0) {
                sets.add(new AtTime(time, inOrder.size() - from, events));
            }
            from = to;
        }
        return sets;
    }
}
