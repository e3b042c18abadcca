package airway.registry.demo;

import java.util.ArrayList;
import java.util.List;

/**
 * A patient that does not exist.
 *
 * @param gestation completed weeks, 0 where it is not asked
 * @param hard a difficult airway in truth, which nobody records
 * @param expected difficulty expected beforehand, which is something else
 * @param features difficult features that are there
 */
record Child(
        String band,
        int ageDays,
        int gestation,
        double weight,
        boolean cyanotic,
        boolean hard,
        boolean expected,
        boolean history,
        List<String> features) {
    static final List<String> FEATURES = List.of(
            "limited_mouth_opening",
            "reduced_neck_extension",
            "micrognathia",
            "midface_hypoplasia",
            "upper_airway_obstruction");

    private static final int YEAR = 365;

    static Child draw(UnitPlan unit, Draws draws) {
        String band = draws.pick(unit.ages());
        int age = age(band, unit, draws);
        int gestation = age <= YEAR ? gestation(unit, draws) : 0;
        double weight = weight(age, gestation, draws);
        // Difficult in PICU: 9 % of 1516; history in 22 % of these and 8 % of the others (Graciano 2014).
        boolean hard = draws.chance(0.09);
        boolean expected = draws.chance(hard ? 0.60 : 0.09);
        List<String> features = new ArrayList<>();
        for (String feature : FEATURES) {
            if (draws.chance(hard || expected ? 0.16 : 0.03)) {
                features.add(feature);
            }
        }
        return new Child(
                band,
                age,
                gestation,
                weight,
                !band.equals("adult") && draws.chance(unit.newborns() ? 0.03 : 0.05),
                hard,
                expected,
                draws.chance(hard ? 0.22 : 0.08),
                List.copyOf(features));
    }

    /** Whether the larger blade of the unit is taken. */
    boolean large(UnitPlan unit) {
        return unit.newborns() ? weight >= 3 : ageDays >= 2 * YEAR;
    }

    /** Twelve months or more: adjusted odds ratio 1.84 for first-attempt success (four EDs, 2022). */
    double ease() {
        return (hard ? -1.1 : 0)
                + switch (band) {
                    case "newborn", "infant" -> -0.2;
                    case "adult" -> 0.5;
                    default -> 0.35;
                };
    }

    private static int age(String band, UnitPlan unit, Draws draws) {
        return switch (band) {
            case "newborn" -> unit.newborns() && draws.chance(0.55) ? draws.whole(0, 2) : draws.whole(0, 27);
            case "infant" -> unit.newborns() ? draws.whole(28, 110) : draws.whole(28, 364);
            case "child_1_7" -> draws.whole(YEAR, 2921);
            case "child_8_17" -> draws.whole(2922, 6574);
            default -> draws.whole(6575, 30_000);
        };
    }

    private static int gestation(UnitPlan unit, Draws draws) {
        return unit.newborns()
                ? Integer.parseInt(
                        draws.pick("23 4, 24 7, 25 8, 26 8, 27 8, 28 8, 29 7, 30 6, 31 5, 32 5, 33 4, 34 4, 35 4,"
                                + " 36 4, 37 4, 38 5, 39 6, 40 5, 41 2"))
                : Integer.parseInt(draws.pick("28 3, 32 5, 34 5, 36 8, 37 12, 38 18, 39 24, 40 20, 41 5"));
    }

    private static double weight(int age, int gestation, Draws draws) {
        double years = age / 365.25;
        double usual;
        if (age <= YEAR) {
            double birth = 0.65 * Math.exp((gestation - 24) * 0.105);
            usual = birth + Math.max(0, age - 7) * (age < 120 ? 0.024 : 0.020);
        } else if (years < 8) {
            usual = 2 * (years + 4);
        } else {
            usual = years < 18 ? 3.2 * years : 76;
        }
        double weight = Math.min(170, Math.max(0.5, draws.skewed(usual, 0.12)));
        double step = weight < 3 ? 0.01 : weight < 20 ? 0.1 : 1;
        return Math.round(weight / step) * step;
    }
}
