package airway.stats.chart;

import airway.stats.Series;
import java.util.ArrayList;
import java.util.List;

/**
 * Rules for patterns within the control limits (Western Electric 1956, Statistical Quality Control Handbook; from memory).
 * Each list names the points at which a pattern is complete.
 *
 * <p>The more rules, the more false alarms: of normal data in control the first rule alone signals once in 370 points on
 * average, with the last added once in 153, all four together once in 92. The second and third presuppose a symmetric,
 * continuous distribution and limits of constant width: they are for charts of means and of single values, not of counts.
 *
 * @param beyondThree points beyond 3 sigma
 * @param twoOfThree points beyond 2 sigma, as was one of the two before on the same side
 * @param fourOfFive points beyond 1 sigma, as were three of the four before on the same side
 * @param eightOnOneSide points that end a row of 8 or more on one side of the centre
 */
public record ZoneRules(
        List<Integer> beyondThree, List<Integer> twoOfThree, List<Integer> fourOfFive, List<Integer> eightOnOneSide) {

    /**
     * Applies the four rules. A point exactly on a line is not beyond it. Missing points are passed over: the points on
     * either side count as neighbours.
     *
     * @param values the points in order of time
     * @param centre the centre line
     * @param sigma a third of the distance from centre to limit, above 0
     * @throws IllegalArgumentException if sigma is not above 0, or centre or sigma is not finite
     */
    public static ZoneRules of(Series values, double centre, double sigma) {
        if (!Double.isFinite(centre)) {
            throw new IllegalArgumentException("centre = " + centre + ", must be finite");
        }
        if (!(sigma > 0 && sigma < Double.POSITIVE_INFINITY)) {
            throw new IllegalArgumentException("sigma = " + sigma + ", must be above 0 and finite");
        }
        return new ZoneRules(
                completed(1, 1, sides(values, centre, 3 * sigma)),
                completed(2, 3, sides(values, centre, 2 * sigma)),
                completed(4, 5, sides(values, centre, sigma)),
                completed(8, 8, sides(values, centre, 0)));
    }

    /** For each point with data its number and the side on which it lies beyond a distance from the centre. */
    private static List<Side> sides(Series values, double centre, double distance) {
        Limits zone = new Limits(centre - distance, centre, centre + distance);
        List<Side> sides = new ArrayList<>();
        for (int i = 1; i <= values.size(); i++) {
            if (values.at(i).isPresent()) {
                sides.add(new Side(i, zone.judge(values.at(i).getAsDouble())));
            }
        }
        return sides;
    }

    /** The points beyond the zone that make so many of the latest points beyond it on the same side. */
    private static List<Integer> completed(int needed, int latest, List<Side> sides) {
        List<Integer> completed = new ArrayList<>();
        for (int end = 0; end < sides.size(); end++) {
            Signal side = sides.get(end).signal;
            long same = sides.subList(Math.max(0, end + 1 - latest), end + 1).stream()
                    .filter(point -> point.signal == side)
                    .count();
            if (side != Signal.NONE && same >= needed) {
                completed.add(sides.get(end).number);
            }
        }
        return List.copyOf(completed);
    }

    private record Side(int number, Signal signal) {}
}
