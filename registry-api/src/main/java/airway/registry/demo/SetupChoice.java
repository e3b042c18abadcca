package airway.registry.demo;

import java.util.List;

/**
 * Which set-up is taken: for expected difficulty and for novices, more often one with the screen on a cable.
 *
 * <p>So the plain comparison of screen positions is biased, as in life, although the position itself has no effect: no
 * clinical comparison of positions was found, and none is invented.
 */
final class SetupChoice {
    private SetupChoice() {}

    static SetupPlan first(UnitPlan unit, Child child, Operator operator, double direct, Draws draws) {
        boolean plain = draws.chance(child.expected() ? 0.35 * direct : direct);
        double far = switch (operator.experience()) {
            case "lt10" -> 0.62;
            case "10_24" -> 0.56;
            case "25_100" -> 0.32;
            default -> 0.24;
        };
        boolean cable = draws.chance(child.expected() ? far + 0.28 : far);
        return of(unit, child, plain ? "none" : cable ? "cable" : "handle");
    }

    /** After a failure: mostly the same, else one with a screen. */
    static SetupPlan next(UnitPlan unit, Child child, SetupPlan last, Draws draws) {
        if (draws.chance(0.6)) {
            return last;
        }
        return of(unit, child, draws.pick("handle 50, cable 50"));
    }

    /** The one of this kind that the unit has for the child, else one with a screen elsewhere, else any that fits. */
    private static SetupPlan of(UnitPlan unit, Child child, String mounting) {
        List<SetupPlan> fitting = unit.setups().stream()
                .filter(setup -> setup.fits(child.large(unit)))
                .toList();
        return fitting.stream()
                .filter(setup -> setup.mounting().equals(mounting))
                .findFirst()
                .or(() -> fitting.stream()
                        .filter(setup -> setup.screen() == !mounting.equals("none"))
                        .findFirst())
                .orElse(fitting.get(0));
    }

    /** Video against direct: odds ratio 1.64 (ten paediatric ED studies, 2024); position and shape of the blade: none. */
    static double help(SetupPlan setup) {
        return setup.screen() ? 0.45 : 0;
    }
}
