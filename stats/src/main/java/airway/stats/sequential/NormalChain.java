package airway.stats.sequential;

import airway.stats.numeric.NormalLaw;
import java.util.Arrays;
import org.apache.commons.math3.analysis.integration.gauss.GaussIntegrator;
import org.apache.commons.math3.analysis.integration.gauss.GaussIntegratorFactory;

/**
 * A chart of normal data whose next value is normal about a line in the present one, and that signals on leaving an interval;
 * all in units of the standard deviation of the next value.
 *
 * <p>Between points the value is taken to be at one of the nodes of Gauss and Legendre (as in the integral equations of Crowder
 * SV 1987, Technometrics 29:401-407, doi:10.1080/00401706.1987.10488267; from memory). The places are then left out one by
 * one, the ways through them added to the others, without a subtraction (Grassmann WK, Taksar MI, Heyman DP 1985, Oper Res
 * 33:1107-1116, doi:10.1287/opre.33.5.1107; from memory): very long run lengths lose no figures. With four
 * times the nodes, the first nine figures of the answer stay as they are.
 */
final class NormalChain {

    private static final GaussIntegratorFactory NODES = new GaussIntegratorFactory();
    private static final double ROOT_TWO_PI = Math.sqrt(2 * Math.PI);
    private static final int FEWEST_NODES = 6;
    private static final double NODES_PER_SD = 1.75;

    private final double slope;
    private final double drift;
    private final double low;
    private final double high;
    private final boolean floor;

    private NormalChain(double slope, double drift, double low, double high, boolean floor) {
        this.slope = slope;
        this.drift = drift;
        this.low = low;
        this.high = high;
        this.floor = floor;
    }

    /** A sum of single values less an allowance, never below 0, in standard deviations: it signals above h. */
    static NormalChain cusum(double k, double h, double shift) {
        return new NormalChain(1, shift - k, 0, h, true);
    }

    /** A moving average with limits at a distance from 0, the distance and the shift in standard deviations of a point. */
    static NormalChain ewma(double lambda, double width, double shift) {
        return new NormalChain(1 - lambda, shift, -width / lambda, width / lambda, false);
    }

    /** Average number of points up to and including the signal; infinite where no signal has a probability above 0. */
    double averageRunLength(double start) {
        int number = FEWEST_NODES + (int) Math.ceil(NODES_PER_SD * (high - low));
        GaussIntegrator nodes = NODES.legendre(number, low, high);
        int first = floor ? 2 : 1;
        int places = first + number;
        double[] values = new double[places];
        double[] weights = new double[places];
        values[0] = start;
        values[1] = low;
        for (int i = 0; i < number; i++) {
            values[first + i] = nodes.getPoint(i);
            weights[first + i] = nodes.getWeight(i) / ROOT_TWO_PI;
        }
        double[][] moves = new double[places][places];
        double[] signals = new double[places];
        for (int from = 0; from < places; from++) {
            double mean = slope * values[from] + drift;
            double above = NormalLaw.upperTail(high - mean);
            double below = NormalLaw.cumulative(low - mean);
            signals[from] = floor ? above : above + below;
            moves[from][1] = floor ? below : 0;
            for (int to = first; to < places; to++) {
                double z = values[to] - mean;
                moves[from][to] = weights[to] * Math.exp(-z * z / 2);
            }
        }
        return averageSteps(moves, signals);
    }

    /** Average steps from place 0 until the signal. The chance of staying is what is left of 1, and never needed. */
    private static double averageSteps(double[][] moves, double[] signals) {
        double[] steps = new double[signals.length];
        Arrays.fill(steps, 1);
        for (int last = signals.length - 1; last > 0; last--) {
            double[] on = moves[last];
            double leaves = signals[last];
            for (int to = 0; to < last; to++) {
                leaves += on[to];
            }
            for (int from = 0; from < last; from++) {
                double visits = moves[from][last] / leaves;
                double[] ways = moves[from];
                for (int to = 0; to < last; to++) {
                    ways[to] += visits * on[to];
                }
                signals[from] += visits * signals[last];
                steps[from] += visits * steps[last];
            }
        }
        return steps[0] / signals[0];
    }
}
