package airway.stats.chart;

import airway.stats.Series;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.OptionalDouble;
import org.jspecify.annotations.Nullable;

/**
 * Distances between neighbours in a series. There is no range at the first point nor across a gap.
 *
 * @param values the series
 */
record MovingRanges(Series values) {

    /** Mean range of two normal observations, in standard deviations: 2/√π. */
    static final double D2 = 2 / Math.sqrt(Math.PI);

    /** The range at each point, against the point before. */
    Series ranges() {
        List<@Nullable Double> ranges = new ArrayList<>(values.size());
        for (int i = 1; i <= values.size(); i++) {
            boolean pair = i > 1 && values.at(i).isPresent() && values.at(i - 1).isPresent();
            ranges.add(
                    pair
                            ? (Double) Math.abs(values.at(i).getAsDouble()
                                    - values.at(i - 1).getAsDouble())
                            : null);
        }
        return Series.withGaps(ranges);
    }

    /** Mean range between neighbours of which both lie in the baseline; empty if there are none. */
    OptionalDouble mean(Baseline baseline) {
        if (baseline.last() <= baseline.first()) {
            return OptionalDouble.empty();
        }
        return Arrays.stream(ranges().presentIn(baseline.first() + 1, baseline.last()))
                .average();
    }
}
