package airway.registry.demo;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** The attempts of one encounter, until one succeeds or the approach is changed. */
final class Tries {
    private static final int MOST = 6;

    private final UnitPlan unit;
    private final Child child;
    private final Draws draws;

    Tries(UnitPlan unit, Child child, Draws draws) {
        this.unit = unit;
        this.child = child;
        this.draws = draws;
    }

    /**
     * Draws them.
     *
     * @param changed after the change of practice
     * @param given the result of the first attempt where it is given, else null
     */
    List<Try> draw(boolean changed, @Nullable Boolean given) {
        Operator operator = Operator.first(unit, child, draws);
        double direct = changed ? unit.change().direct() : unit.direct();
        SetupPlan setup = SetupChoice.first(unit, child, operator, direct, draws);
        double odds = unit.first()
                + (changed ? unit.change().lift() : 0)
                + child.ease()
                + operator.skill()
                + SetupChoice.help(setup);
        List<Try> tries = new ArrayList<>();
        tries.add(attempt(operator, setup, given == null ? draws.chance(share(odds)) : given, 0.30));
        while (!last(tries).success() && tries.size() < MOST && !givesUp(tries.size())) {
            boolean same = draws.chance(0.55);
            operator = same ? operator : Operator.senior(unit, draws);
            setup = SetupChoice.next(unit, child, setup, draws);
            // Success at the second: 61 % (PICU, from Lee 2016), 54 % (newborns, 2024).
            odds = unit.later() + child.ease() + 0.5 * operator.skill() + SetupChoice.help(setup);
            tries.add(attempt(operator, setup, draws.chance(share(odds)), 0.20));
        }
        return List.copyOf(tries);
    }

    private Try attempt(Operator operator, SetupPlan setup, boolean success, double astray) {
        // One pass in 94 % of successes: first pass 86.0 %, strictly 81.2 % (adults, Trent 2023).
        int passes = Integer.parseInt(draws.pick(success ? "1 944, 2 45, 3 11" : "0 45, 1 40, 2 15"));
        // Oesophagus at once: 0.8, 14.7, 27.4 % by attempts (Lee 2016), so it goes with a failed attempt.
        boolean oesophagus = !success && passes > 0 && draws.chance(astray);
        return new Try(operator, setup, success, passes, oesophagus);
    }

    private boolean givesUp(int failed) {
        return failed >= 3 && draws.chance(0.12 * (failed - 2));
    }

    private static Try last(List<Try> tries) {
        return tries.get(tries.size() - 1);
    }

    private static double share(double odds) {
        return 1 / (1 + Math.exp(-odds));
    }
}
