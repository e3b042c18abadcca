package airway.registry.charts;

import airway.registry.cohort.Stratum;
import java.util.List;

/**
 * The same chart side by side for each code of a variable, over the same stretch of time. It describes each group by itself;
 * differences between groups are what the comparison is for.
 */
record Panels(ChartRequest request, Stratum stratum, List<Panel> panels) {
    /** A group with too few first attempts has no chart of its own. Source: the registry's table of minimum numbers. */
    static final int FEWEST = Comparison.FEWEST;

    /** One group and its chart. */
    record Panel(String code, String label, Chart chart) {
        boolean drawn() {
            return chart.total().n() >= FEWEST;
        }
    }

    /** How many of the panels are drawn: that many charts are looked at at once. */
    long drawn() {
        return panels.stream().filter(Panel::drawn).count();
    }
}
