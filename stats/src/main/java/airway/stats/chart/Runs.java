package airway.stats.chart;

import airway.stats.Series;
import java.util.ArrayList;
import java.util.List;

/**
 * Runs of points on one side of a centre. Points on the centre, within 1e-9, and missing ones are left out: they neither
 * break a run nor lengthen it.
 *
 * @param runs the runs in order, each the numbers of its points
 * @param above number of points above the centre
 * @param below number of points below the centre
 */
record Runs(List<List<Integer>> runs, int above, int below) {

    private static final double ON_THE_CENTRE = 1e-9;

    static Runs about(double centre, Series values) {
        List<List<Integer>> runs = new ArrayList<>();
        int above = 0;
        int below = 0;
        int side = 0;
        for (int i = 1; i <= values.size(); i++) {
            double distance = values.at(i).isPresent() ? values.at(i).getAsDouble() - centre : 0;
            if (Math.abs(distance) <= ON_THE_CENTRE) {
                continue;
            }
            int itsSide = distance > 0 ? 1 : -1;
            if (itsSide != side) {
                runs.add(new ArrayList<>());
                side = itsSide;
            }
            runs.get(runs.size() - 1).add(i);
            above += itsSide > 0 ? 1 : 0;
            below += itsSide < 0 ? 1 : 0;
        }
        return new Runs(runs, above, below);
    }

    int useful() {
        return above + below;
    }

    /** The first of the longest runs; empty if there is none. */
    List<Integer> longest() {
        List<Integer> longest = List.of();
        for (List<Integer> run : runs) {
            longest = run.size() > longest.size() ? run : longest;
        }
        return longest;
    }
}
