package airway.stats.survival;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Interval;
import airway.stats.Reason;
import airway.stats.Shown;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Function;

/**
 * The share still without the event, over time.
 *
 * @param steps the curve, one step for each time with events, in order; before the first it is 1
 * @param median the time by which half have had the event; missing when the curve does not come down to one half
 * @param medianLower lower limit of the median; missing when the lower limits of the curve do not come down to one half
 * @param medianUpper upper limit of the median; missing when the upper limits of the curve do not come down to one half
 * @param n cases
 */
public record KaplanMeier(
        List<Step> steps, OptionalDouble median, OptionalDouble medianLower, OptionalDouble medianUpper, int n) {

    private static final double ROUNDING = 1e-9;

    /** Copies the steps. */
    public KaplanMeier {
        steps = List.copyOf(steps);
    }

    /**
     * One step of the curve.
     *
     * @param time time of the events
     * @param atRisk cases at risk just before; a curve is not to be drawn where they are fewer than 5
     * @param events events at this time
     * @param survival share without the event from this time on
     * @param standardError its standard error; 0 where the share is 0
     * @param limits its limits; missing where the share is 0
     */
    public record Step(
            double time, int atRisk, int events, double survival, double standardError, Optional<Interval> limits) {}

    /**
     * S = Π(1 - d/n) over the times with d events among n at risk (Kaplan EL, Meier P 1958, J Am Stat Assoc 53:457-481,
     * doi:10.1080/01621459.1958.10501452), with Greenwood's standard error S √Σ d/(n(n - d)) and limits on the scale of ln(-ln S),
     * S^exp(±z √Σ/|ln S|) (Kalbfleisch JD, Prentice RL 1980, The Statistical Analysis of Failure Time Data); from memory. The
     * median is the first time at which S is ½ or less; where it is ½ exactly, the middle between that time and the next step;
     * the limits of the median come from the limits of the curve in the same way.
     *
     * <p>No cases: {@link Reason#NO_DATA}. No events: {@link Reason#NO_EVENTS}. A case watched until a time at which an event
     * comes counts as at risk. Equal to {@code survfit(conf.type = "log-log")} of R, whose default is another scale; times that
     * differ by rounding only are different here and the same there.
     *
     * @param observations the cases
     * @param confidence level of the limits at each time, two-sided
     */
    public static Answer<KaplanMeier> of(List<Observation> observations, Confidence confidence) {
        int n = observations.size();
        if (n == 0) {
            return Answer.refused(Reason.NO_DATA, Shown.NOTHING.withN(0));
        }
        List<RiskSets.AtTime> sets = RiskSets.of(observations);
        if (sets.isEmpty()) {
            return Answer.refused(Reason.NO_EVENTS, Shown.NOTHING.withN(n));
        }
        List<Step> steps = new ArrayList<>();
        double survival = 1;
        double sum = 0;
        for (RiskSets.AtTime set : sets) {
            double left = set.atRisk() - set.events();
            survival *= left / set.atRisk();
            if (left > 0) {
                sum += set.events() / (set.atRisk() * left);
            }
            steps.add(new Step(
                    set.time(),
                    set.atRisk(),
                    set.events(),
                    survival,
                    survival * Math.sqrt(sum),
                    survival == 0 ? Optional.empty() : Optional.of(limits(survival, sum, confidence))));
        }
        return Answer.ok(new KaplanMeier(
                steps,
                half(steps, step -> Optional.of(step.survival)),
                half(steps, step -> step.limits.map(Interval::lower)),
                half(steps, step -> step.limits.map(Interval::upper)),
                n));
    }

    private static Interval limits(double survival, double sum, Confidence confidence) {
        double spread = Math.exp(confidence.z() * Math.sqrt(sum) / -Math.log(survival));
        return new Interval(Math.pow(survival, spread), Math.pow(survival, 1 / spread));
    }

    /** When a curve comes down to one half. */
    private static OptionalDouble half(List<Step> steps, Function<Step, Optional<Double>> curve) {
        double flatSince = Double.NaN;
        for (Step step : steps) {
            double value = curve.apply(step).orElse(Double.NaN);
            if (value < 0.5 - ROUNDING) {
                return OptionalDouble.of(Double.isNaN(flatSince) ? step.time : (flatSince + step.time) / 2);
            }
            if (value < 0.5 + ROUNDING && Double.isNaN(flatSince)) {
                flatSince = step.time;
            }
        }
        return Double.isNaN(flatSince) ? OptionalDouble.empty() : OptionalDouble.of(flatSince);
    }
}
