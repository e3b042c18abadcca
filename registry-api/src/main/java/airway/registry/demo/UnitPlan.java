package airway.registry.demo;

import java.util.List;

/**
 * An invented unit and what is set for it.
 *
 * @param monthly encounters a month, on average
 * @param ages age groups
 * @param grades who holds the laryngoscope first
 * @param first log odds of first-pass success before anything else is known
 * @param later log odds of success of each later attempt
 * @param direct share without a screen, where no difficulty is expected
 * @param change the change of practice, or none
 * @param desaturation share of records with a desaturation, by attempts 1, 2, 3 or more
 * @param slow how much more often a slow heart is seen than in the published table
 */
record UnitPlan(
        String code,
        String title,
        String kind,
        double monthly,
        Mix ages,
        Mix grades,
        double first,
        double later,
        double direct,
        Change change,
        List<Double> desaturation,
        double slow,
        List<SetupPlan> setups) {

    /**
     * A change of practice, in full months before the present one.
     *
     * @param monthsAgo since when, 0 for never
     * @param lift log odds of first-pass success gained
     * @param direct share without a screen afterwards
     * @param oddMonthAgo a single month far from the others, 0 for none
     */
    record Change(int monthsAgo, double lift, double direct, int oddMonthAgo) {}

    /** Encounters and first passes of the odd month. */
    static final int ODD_ENCOUNTERS = 24;

    static final int ODD_FIRST_PASSES = 6;

    boolean newborns() {
        return kind.equals("nicu");
    }
}
