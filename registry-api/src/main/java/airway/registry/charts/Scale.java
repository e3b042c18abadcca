package airway.registry.charts;

import java.util.List;
import java.util.stream.IntStream;

/**
 * The height of a chart: from 0 to the top, with ticks.
 *
 * @param top the value at the upper edge
 * @param ticks values with a line
 */
record Scale(double top, List<Double> ticks) {
    private static final int TICKS = 5;

    /** Proportions always run from 0 to 100 %. */
    static final Scale PROPORTION = new Scale(1, List.of(0.0, 0.2, 0.4, 0.6, 0.8, 1.0));

    /** Saturations, too, run from 0 to 100 %. */
    static final Scale SATURATION = new Scale(100, List.of(0.0, 20.0, 40.0, 60.0, 80.0, 100.0));

    /** From 0 to a round number at or above the highest value, in about five steps, none under the finest. */
    static Scale upTo(double highest, double finest) {
        double rough = Math.max(highest, finest) / TICKS;
        double decade = Math.pow(10, Math.floor(Math.log10(rough)));
        double step = List.of(1.0, 2.0, 5.0, 10.0).stream()
                .map(factor -> factor * decade)
                .filter(size -> size >= rough)
                .findFirst()
                .orElse(10 * decade);
        double rounded = Math.max(step, finest);
        int steps = (int) Math.ceil(Math.max(highest, finest) / rounded);
        return new Scale(
                steps * rounded,
                IntStream.rangeClosed(0, steps).mapToObj(tick -> tick * rounded).toList());
    }
}
