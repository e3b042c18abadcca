package airway.stats.oracle;

import static java.util.Map.entry;

import airway.stats.chart.ChartPoint;
import airway.stats.chart.ControlChart;
import airway.stats.chart.Dispersion;
import airway.stats.chart.Limits;
import airway.stats.chart.PChart;
import airway.stats.chart.PhasedPChart;
import airway.stats.interval.DifferenceInterval;
import airway.stats.interval.ProportionInterval;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.function.Function;
import java.util.function.ToDoubleFunction;
import org.jspecify.annotations.Nullable;

/** How this library is asked, for each method of the reference cases. */
final class Adapters {

    static final Map<String, Function<Inputs, Reply>> TABLE = Map.ofEntries(
            entry("prop.wilson", proportion(ProportionInterval.WILSON)),
            entry("prop.wilson_cc", proportion(ProportionInterval.WILSON_CC)),
            entry("prop.clopper_pearson", proportion(ProportionInterval.CLOPPER_PEARSON)),
            entry("prop.jeffreys", proportion(ProportionInterval.JEFFREYS)),
            entry("prop.agresti_coull", proportion(ProportionInterval.AGRESTI_COULL)),
            entry("rd.newcombe", difference(DifferenceInterval.NEWCOMBE)),
            entry("rd.newcombe_cc", difference(DifferenceInterval.NEWCOMBE_CC)),
            entry("chart.p", Adapters::pChart),
            entry("chart.p_phases", Adapters::pPhases));

    private Adapters() {}

    private static Function<Inputs, Reply> proportion(ProportionInterval method) {
        return in -> Reply.of(method.of(in.proportion("x", "n"), in.confidence()));
    }

    private static Function<Inputs, Reply> difference(DifferenceInterval method) {
        return in -> Reply.of(method.of(in.proportion("x1", "n1"), in.proportion("x2", "n2"), in.confidence()));
    }

    private static Reply pChart(Inputs in) {
        var subgroups = in.proportions();
        return Reply.of(
                PChart.of(subgroups, in.baseline(subgroups.size())),
                (reply, chart) -> putChart(reply, chart.chart())
                        .put("small_denominators", chart.smallDenominators())
                        .put("dispersion", dispersion(chart.dispersion())),
                "n_baseline",
                "centre");
    }

    private static Reply pPhases(Inputs in) {
        var phased = PhasedPChart.of(in.proportions(), in.integers("phase_starts"));
        return phased.refusal()
                .map(Reply::refused)
                .orElseGet(() -> Reply.ok()
                        .put(
                                "phases",
                                phased.phases().stream()
                                        .map(phase -> putChart(
                                                        Reply.ok(),
                                                        phase.answer()
                                                                .orElseThrow()
                                                                .chart())
                                                .put("first", phase.first())
                                                .put("last", phase.last())
                                                .keys())
                                        .toList()));
    }

    private static Reply putChart(Reply reply, ControlChart chart) {
        return reply.put("centre", chart.centre())
                .put("points", Reply.numbers(chart.points().stream().map(ChartPoint::value)))
                .put("lcl", limits(chart.points(), Limits::lower))
                .put("ucl", limits(chart.points(), Limits::upper))
                .put("signals_beyond", chart.signals())
                .put("provisional", chart.provisional())
                .put("n_baseline", chart.baselinePoints());
    }

    private static List<@Nullable Double> limits(List<ChartPoint> points, ToDoubleFunction<Limits> side) {
        List<@Nullable Double> result = new ArrayList<>();
        for (ChartPoint point : points) {
            result.add(Reply.number(point.limits()
                    .map(limits -> OptionalDouble.of(side.applyAsDouble(limits)))
                    .orElse(OptionalDouble.empty())));
        }
        return result;
    }

    private static Map<String, Object> dispersion(Dispersion d) {
        return Map.of("chi2", d.chi2(), "df", d.df(), "p", d.p(), "phi", d.phi());
    }
}
