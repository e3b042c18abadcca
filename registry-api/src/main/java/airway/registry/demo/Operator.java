package airway.registry.demo;

/** Who holds the laryngoscope: grade, earlier intubations, earlier uses of the set-up. */
record Operator(String grade, String profession, String experience, String uses) {

    /** Experienced people get the harder patients. */
    static Operator first(UnitPlan unit, Child child, Draws draws) {
        Mix grades = child.expected() ? unit.grades().times("specialist", 2.5).times("junior", 0.5) : unit.grades();
        return of(unit, draws.pick(grades), draws);
    }

    /** Somebody with more experience takes over. */
    static Operator senior(UnitPlan unit, Draws draws) {
        return of(unit, draws.pick("senior 50, specialist 50"), draws);
    }

    private static Operator of(UnitPlan unit, String grade, Draws draws) {
        String experience = draws.pick(
                switch (grade) {
                    case "junior" -> "lt10 55, 10_24 35, 25_100 10";
                    case "senior" -> "10_24 10, 25_100 55, gt100 35";
                    case "specialist" -> "25_100 15, gt100 85";
                    default -> "10_24 15, 25_100 55, gt100 30";
                });
        String uses = draws.pick(
                switch (experience) {
                    case "lt10" -> "first 15, 1_5 60, 6_20 25";
                    case "10_24" -> "first 5, 1_5 30, 6_20 55, gt20 10";
                    case "25_100" -> "1_5 10, 6_20 35, gt20 55";
                    default -> "1_5 3, 6_20 15, gt20 82";
                });
        String profession = grade.equals("non_doctor")
                ? "adv_practitioner"
                : unit.newborns()
                        ? draws.pick("neonatal 75, paediatrics 25")
                        : draws.pick("critical_care 55, anaesthesia 30, paediatrics 15");
        return new Operator(grade, profession, experience, uses);
    }

    boolean novice() {
        return experience.equals("lt10") || experience.equals("10_24");
    }

    /** Residents 37, fellows 70, attendings 72 % at the first attempt (15 PICUs, Sanders 2013). */
    double skill() {
        return switch (experience) {
            case "lt10" -> -1.5;
            case "10_24" -> -0.85;
            case "25_100" -> 0.35;
            default -> 0.60;
        };
    }
}
