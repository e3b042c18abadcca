package airway.registry.charts;

import airway.registry.cohort.Measure;
import airway.stats.Caution;
import airway.stats.chart.ControlChart;
import java.util.List;
import java.util.Optional;

/**
 * Another way to draw these numbers that would show more, and why. Source: the statistical methods of the registry, section 14.
 *
 * @param kind as the parameter {@code chart} takes it
 * @param why in a sentence
 * @param does what the link does
 */
public record Proposal(String kind, String why, String does) {
    /** Fewer cases a point than this and a chart of points says little. */
    static final int FEW_A_POINT = 15;

    static final String SCATTER =
            "The points scatter more than chance alone gives: look first for mixed kinds of cases or units.";

    /** The way to draw single intubations. */
    static final String STRIP = "strip";

    /** Fewer expected a point than this, of something unwanted, and what lies between says more. */
    private static final int RARE = 5;

    /** Whether the points hold so few cases that single intubations say more. */
    static boolean few(Chart chart) {
        return chart.request().kind().grouped()
                && ChartKind.oneByOne(chart.request().measure())
                && chart.total().n() > 0
                && chart.total().n() < (long) FEW_A_POINT * chart.points().size();
    }

    /** Whether fewer are to be expected at a point than a chart of points can show. */
    static boolean rare(Chart chart) {
        return chart.total().x() < (long) RARE * chart.points().size();
    }

    /** Whether wider limits are proposed, which tells of the scatter. */
    static boolean widens(Chart chart) {
        return of(chart)
                .map(Proposal::kind)
                .filter(List.of(ChartKind.P_PRIME.id(), ChartKind.U_PRIME.id())::contains)
                .isPresent();
    }

    static Optional<Proposal> of(Chart chart) {
        if (few(chart)) {
            long each = Math.round((double) chart.total().n() / chart.points().size());
            return Optional.of(new Proposal(
                    STRIP,
                    "About " + each + " intubations a point. With under " + FEW_A_POINT
                            + " a point, chance moves the points more than anything else: choose longer spans, or look at"
                            + " them one by one.",
                    "Show them one by one"));
        }
        boolean unwanted = chart.request().measure().direction() == Measure.Direction.LOWER;
        long x = chart.total().x();
        if (chart.request().kind() == ChartKind.P && unwanted && rare(chart) && x > ControlChart.FEWEST_POINTS) {
            return Optional.of(new Proposal(
                    ChartKind.G.id(),
                    "Fewer than " + RARE + " a point: how many intubations lie between one and the next shows more.",
                    "Show what lies between"));
        }
        ChartKind kind = chart.request().kind();
        if ((kind == ChartKind.P || kind == ChartKind.U) && chart.cautions().contains(Caution.OVERDISPERSED)) {
            return Optional.of(new Proposal(
                    (kind == ChartKind.P ? ChartKind.P_PRIME : ChartKind.U_PRIME).id(),
                    SCATTER + " If that is the nature of it, these limits signal too often.",
                    "Widen the limits for the scatter"));
        }
        return Optional.empty();
    }
}
