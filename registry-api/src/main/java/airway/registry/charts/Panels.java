package airway.registry.charts;

import airway.registry.cohort.Stratum;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The same chart side by side for each code of a variable, or for each unit, over the same stretch of time. It describes each group
 * by itself; differences between groups are what the comparison is for.
 *
 * @param by the variable, or null for units
 */
record Panels(ChartRequest request, @Nullable Stratum by, List<Panel> panels) {
    /** Asks for a panel of each unit. */
    static final String UNITS = "site_id";

    /** A group with too few first attempts has no chart of its own. Source: the registry's table of minimum numbers. */
    static final int FEWEST = Comparison.FEWEST;

    /** One group and its chart. */
    record Panel(String code, String label, Chart chart) {
        boolean drawn() {
            return chart.total().n() >= FEWEST;
        }
    }

    String variable() {
        return by == null ? UNITS : by.variable();
    }

    /** The variable in words. */
    String title() {
        return by == null ? "Unit" : by.title();
    }

    /** How many of the panels are drawn: that many charts are looked at at once. */
    long drawn() {
        return panels.stream().filter(Panel::drawn).count();
    }
}
