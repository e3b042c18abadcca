package airway.stats.sequential;

import airway.stats.numeric.NormalLaw;
import org.apache.commons.math3.analysis.integration.gauss.GaussIntegrator;
import org.apache.commons.math3.analysis.integration.gauss.GaussIntegratorFactory;

/**
 * A chart of normal data whose next value is normal about a line in the present one, and that signals on leaving an interval.
 *
 * <p>The density of the value is followed at the nodes of Gauss and Legendre (as in the integral equations of Crowder SV 1987,
 * Technometrics 29:401-407, doi:10.1080/00401706.1987.10488267; from memory): all terms are positive, so that very long run
 * lengths lose no figures.
 */
final class NormalChain implements SurvivalChain {

    private static final GaussIntegratorFactory NODES = new GaussIntegratorFactory();
    private static final double ROOT_TWO_PI = Math.sqrt(2 * Math.PI);
    private static final int FEWEST_NODES = 24;
    private static final double NODES_PER_SD = 3;

    private final double slope;
    private final double drift;
    private final double sd;
    private final double low;
    private final double high;
    private final boolean floor;
    private final GaussIntegrator nodes;

    /** Density of moving from the second node to the first. */
    private final double[][] moves;

    /** Probability at each node: density times weight. */
    private double[] masses;

    /** Where a single value has a probability of its own: the start, or the floor. */
    private double point;

    private double pointMass = 1;

    private NormalChain(double slope, double drift, double sd, double low, double high, boolean floor, double start) {
        this.slope = slope;
        this.drift = drift;
        this.sd = sd;
        this.low = low;
        this.high = high;
        this.floor = floor;
        this.point = start;
        int number = FEWEST_NODES + (int) Math.ceil(NODES_PER_SD * (high - low) / sd);
        nodes = NODES.legendre(number, low, high);
        moves = new double[number][number];
        for (int to = 0; to < number; to++) {
            for (int from = 0; from < number; from++) {
                moves[to][from] = density(nodes.getPoint(from), nodes.getPoint(to));
            }
        }
        masses = new double[number];
    }

    /** A sum of single values less an allowance, never below 0, in standard deviations: it signals above h. */
    static NormalChain cusum(double k, double h, double shift, double start) {
        return new NormalChain(1, shift - k, 1, 0, h, true, start);
    }

    /** A moving average that starts at 0, in standard deviations: it signals beyond the width on either side. */
    static NormalChain ewma(double lambda, double width, double shift) {
        return new NormalChain(1 - lambda, lambda * shift, lambda, -width, width, false, 0);
    }

    @Override
    public double advance() {
        double signal = pointMass * leaves(point);
        double onFloor = floor ? pointMass * below(low, point) : 0;
        for (int from = 0; from < masses.length; from++) {
            signal += masses[from] * leaves(nodes.getPoint(from));
            onFloor += floor ? masses[from] * below(low, nodes.getPoint(from)) : 0;
        }
        double[] next = new double[masses.length];
        for (int to = 0; to < next.length; to++) {
            double density = pointMass * density(point, nodes.getPoint(to));
            for (int from = 0; from < masses.length; from++) {
                density += masses[from] * moves[to][from];
            }
            next[to] = density * nodes.getWeight(to);
        }
        masses = next;
        point = low;
        pointMass = onFloor;
        return signal;
    }

    @Override
    public double alive() {
        double sum = pointMass;
        for (double mass : masses) {
            sum += mass;
        }
        return sum;
    }

    private double density(double from, double to) {
        double z = standardised(to, from);
        return Math.exp(-z * z / 2) / (ROOT_TWO_PI * sd);
    }

    private double below(double limit, double from) {
        return NormalLaw.cumulative(standardised(limit, from));
    }

    private double leaves(double from) {
        double above = NormalLaw.upperTail(standardised(high, from));
        return floor ? above : above + below(low, from);
    }

    private double standardised(double value, double from) {
        return (value - slope * from - drift) / sd;
    }
}
