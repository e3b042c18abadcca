package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Reason;
import airway.stats.Sample;
import airway.stats.Series;
import airway.stats.Shown;

/**
 * Do neighbouring points resemble each other? If so the limits of a control chart are too tight; if they alternate, too
 * wide.
 *
 * @param r1 correlation of each point with the next, in [-1, 1]
 * @param bound z/√n with z = 1.959964, what chance alone leaves in 19 of 20 series
 */
public record Autocorrelation(double r1, double bound) {

    private static final int FEWEST_POINTS = 10;

    /**
     * r₁ = Σ(x_t - x̄)(x_{t+1} - x̄)/Σ(x - x̄)² over neighbours that both have data, and its bound (Bartlett MS 1946,
     * Suppl J R Stat Soc 8:27-41, doi:10.2307/2983611; from memory). Without gaps equal to {@code acf} of R.
     *
     * <p>No data: {@link Reason#NO_DATA}. Fewer than 10 points: {@link Reason#TOO_FEW_POINTS}. All alike: {@link
     * Reason#NO_VARIATION}.
     *
     * @param values the points in order of time
     */
    public static Answer<Autocorrelation> of(Series values) {
        Sample known = Sample.of(values.present());
        if (known.isEmpty()) {
            return Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0));
        }
        if (known.n() < FEWEST_POINTS) {
            return Answer.refused(Reason.TOO_FEW_POINTS, Shown.NOTHING.withN(known.n()));
        }
        if (known.variance() == 0) {
            return Answer.refused(Reason.NO_VARIATION, Shown.NOTHING.withN(known.n()));
        }
        double mean = known.mean();
        double sum = 0;
        for (int i = 2; i <= values.size(); i++) {
            if (values.at(i - 1).isPresent() && values.at(i).isPresent()) {
                sum += (values.at(i - 1).getAsDouble() - mean) * (values.at(i).getAsDouble() - mean);
            }
        }
        return Answer.ok(new Autocorrelation(
                sum / (known.variance() * (known.n() - 1)), Confidence.DEFAULT.z() / Math.sqrt(known.n())));
    }

    /** Whether r₁ lies beyond its bound, on either side. */
    public boolean flagged() {
        return Math.abs(r1) > bound;
    }
}
