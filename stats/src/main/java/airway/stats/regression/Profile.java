package airway.stats.regression;

import airway.stats.Interval;
import airway.stats.numeric.GammaLaw;
import java.util.Optional;

/** The likelihood as a function of one coefficient, all others at their best. */
final class Profile {

    private static final int MOST_STEPS = 100;
    private static final double FARTHEST = 1e6;

    /** After a step of so small a share of the standard error, the next would be its square. */
    private static final double SHORTEST_STEP = 1e-7;

    private final Likelihood likelihood;
    private final Likelihood.Point top;
    private final int column;
    /** How the coefficients go along with this one, near the top. */
    private final double[] tangent;

    private final double standardError;

    Profile(Likelihood likelihood, Likelihood.Point top, int column) {
        this.likelihood = likelihood;
        this.top = top;
        this.column = column;
        double[] covariances = top.covariance().getColumn(column);
        this.standardError = Math.sqrt(covariances[column]);
        this.tangent = covariances;
        double own = covariances[column];
        for (int j = 0; j < tangent.length; j++) {
            tangent[j] /= own;
        }
    }

    /** All values at which twice the likelihood lies less than z² below its maximum. */
    Interval within(double z) {
        return new Interval(limit(z, -1), limit(z, 1));
    }

    /** P-value against 0, from twice the likelihood lost there. */
    double p() {
        double lost = at(0, top.coefficients())
                .or(() -> likelihood.climb(new double[tangent.length], column))
                .map(point -> 2 * (top.value() - point.value()))
                .orElse(Double.POSITIVE_INFINITY);
        if (Double.isInfinite(lost)) {
            return 0;
        }
        return lost <= 0 ? 1 : GammaLaw.chiSquareUpperTail(lost, 1);
    }

    /** Newton's steps on the root of the likelihood lost, which is nearly a straight line, kept between bounds. */
    private double limit(double z, int side) {
        double best = top.coefficients()[column];
        double inside = best;
        double outside = side * Double.POSITIVE_INFINITY;
        double value = best + side * z * standardError;
        double[] start = top.coefficients();
        for (int step = 0; step < MOST_STEPS; step++) {
            Optional<Likelihood.Point> point = at(value, start);
            double next = Double.NaN;
            if (point.isPresent()) {
                start = point.get().coefficients();
                double lost =
                        Math.sqrt(Math.max(0, 2 * (top.value() - point.get().value())));
                if (lost < z) {
                    inside = value;
                } else {
                    outside = value;
                }
                next = value + (lost - z) * lost / point.get().slope(column);
            } else {
                outside = value;
            }
            if (Math.abs(next - value) <= SHORTEST_STEP * standardError) {
                return next;
            }
            boolean between = side * (next - inside) > 0 && side * (outside - next) > 0;
            if (!between) {
                next = Double.isInfinite(outside) ? best + 2 * (value - best) : (inside + outside) / 2;
            }
            if (Math.abs(next - best) > FARTHEST * standardError) {
                return outside;
            }
            value = next;
        }
        return value;
    }

    private Optional<Likelihood.Point> at(double value, double[] near) {
        double[] start = near.clone();
        double step = value - near[column];
        for (int j = 0; j < start.length; j++) {
            start[j] += step * tangent[j];
        }
        start[column] = value;
        return likelihood.climb(start, column);
    }
}
