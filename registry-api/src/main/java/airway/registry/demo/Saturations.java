package airway.registry.demo;

import java.util.ArrayList;
import java.util.List;

/**
 * Saturation of one encounter: before, and at the start and lowest of each attempt; heaped as people read it.
 *
 * @param best highest before the first attempt
 */
record Saturations(int best, List<Integer> starts, List<Integer> lowest) {
    private static final int FLOOR = 30;

    static Saturations draw(UnitPlan unit, Child child, int attempts, Draws draws) {
        int best = best(unit, child, draws);
        double share = unit.desaturation().get(Math.min(attempts, 3) - 1);
        double odds = share / (1 - share) * (child.ageDays() < 365 ? 1.25 : 0.75);
        // A fall of 20 where newborns or a low baseline make the fixed limit meaningless, else under 80.
        int limit = unit.newborns() || best < 90 ? best - 20 : 79;
        int low = draws.chance(odds / (1 + odds)) ? deep(limit, draws) : shallow(best, limit, draws);
        int at = draws.chance(0.5) ? attempts - 1 : draws.whole(0, attempts - 1);
        List<Integer> starts = new ArrayList<>();
        List<Integer> lowest = new ArrayList<>();
        for (int i = 0; i < attempts; i++) {
            int lowestHere = i == at ? low : heaped(draws.whole(low, best), low, best, draws);
            int from = Math.max(lowestHere, i == 0 ? best - draws.whole(0, 2) : best - draws.whole(0, 8));
            starts.add(Math.max(50, from));
            lowest.add(Math.min(lowestHere, starts.get(i)));
        }
        return new Saturations(best, List.copyOf(starts), List.copyOf(lowest));
    }

    private static int best(UnitPlan unit, Child child, Draws draws) {
        if (child.cyanotic()) {
            return draws.whole(72, 88);
        }
        if (draws.chance(unit.newborns() ? 0.10 : 0.07)) {
            return draws.whole(80, 89);
        }
        return Integer.parseInt(draws.pick(
                unit.newborns()
                        ? "90 6, 91 5, 92 9, 93 9, 94 11, 95 15, 96 13, 97 10, 98 9, 99 5, 100 8"
                        : "91 2, 92 3, 93 3, 94 4, 95 7, 96 7, 97 8, 98 11, 99 12, 100 43"));
    }

    /** Of those under 80, about 78 in 100 were under 70: 12 of 16, 30 of 36, 44 of 56 % (Lee 2016). */
    private static int deep(int limit, Draws draws) {
        int value = draws.chance(0.78) ? limit - 10 - (int) draws.skewed(7, 0.8) : limit - draws.whole(0, 9);
        return heaped(Math.max(FLOOR, value), FLOOR, limit, draws);
    }

    private static int shallow(int best, int limit, Draws draws) {
        int value = best - (int) draws.skewed(3.5, 0.8);
        return heaped(Math.max(value, limit + 1 + draws.whole(0, 4)), limit + 1, best, draws);
    }

    /** Numbers ending in 0 or 5 and even ones are read more often; the class that the number lies in is kept. */
    private static int heaped(int value, int low, int high, Draws draws) {
        int step = Integer.parseInt(draws.pick("5 30, 2 25, 1 45"));
        int rounded = Math.round((float) value / step) * step;
        return Math.max(low, Math.min(high, rounded));
    }

    int lowestOfAll() {
        return lowest.stream().mapToInt(Integer::intValue).min().orElse(best);
    }
}
