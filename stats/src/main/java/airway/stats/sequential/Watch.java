package airway.stats.sequential;

import airway.stats.Answer;
import airway.stats.Reason;
import airway.stats.chart.Limits;
import airway.stats.chart.Signal;
import airway.stats.numeric.BinomialLaw;
import java.util.function.DoubleUnaryOperator;

/**
 * How soon a unit would notice: for its yearly number of cases, the months until each chart signals when nothing has changed and
 * when the probability of failure has.
 *
 * <pre>{@code
 * Watch watch = new Watch(48, Hypotheses.oddsChanged(0.38, 2));
 * watch.cusum().outOfControl();   // months until doubled odds show, on average
 * watch.cusum().inControl();      // months between false alarms: 120 or more
 * }</pre>
 *
 * <p>Averages from the start of the chart, with the change there from the first case on; the probability before the change is
 * taken as known. A chart that signals sooner when something has changed is the better one only if its false alarms are no
 * more frequent: both numbers belong together.
 *
 * @param casesPerYear yearly number of cases, in [1, 100000]
 * @param hypotheses the probabilities of failure to be told apart
 */
public record Watch(double casesPerYear, Hypotheses hypotheses) {

    private static final double MONTHS = 12;
    private static final double SHEWHART = 3;

    /**
     * A unit that watches.
     *
     * @throws IllegalArgumentException if the number of cases is not in [1, 100000] or not a number
     */
    public Watch {
        if (!(casesPerYear >= 1 && casesPerYear <= 100_000)) {
            throw new IllegalArgumentException("casesPerYear = " + casesPerYear + ", must be in [1, 100000]");
        }
    }

    /**
     * Average months until the signal; infinite where there is none to come.
     *
     * @param inControl as long as nothing has changed: between false alarms
     * @param outOfControl when the change is there from the start
     */
    public record Months(double inControl, double outOfControl) {}

    /** The sum of single cases that {@link #cusum} speaks of: false alarms ten years apart or more. */
    public CusumDesign design() {
        return CusumDesign.forVolume(hypotheses, casesPerYear);
    }

    /** Months until the sum of single cases signals. Exact. */
    public Months cusum() {
        double casesPerMonth = casesPerYear / MONTHS;
        CusumDesign design = design();
        return new Months(design.inControl() / casesPerMonth, design.outOfControl() / casesPerMonth);
    }

    /**
     * Months until the moving average of monthly proportions signals on either side, with limits that grow as those of {@link
     * Ewma#ofProportions}, and every month of the same number of cases. Within 1 % or so, from a chain on a grid.
     *
     * <p>Fewer than one case a month, rounded: {@link Reason#TOO_FEW_OBSERVATIONS}.
     *
     * @param ewma weight and width
     */
    public Answer<Months> ewma(EwmaDesign ewma) {
        return monthly(p -> new BinomialEwmaChain(ewma, hypotheses.p0(), casesAMonth(), p).averageRunLength());
    }

    /**
     * Months until a point of a p chart of months lies beyond three standard deviations on either side: 1/P, with P summed over
     * all outcomes of a month, every month of the same number of cases.
     *
     * <p>Fewer than one case a month, rounded: {@link Reason#TOO_FEW_OBSERVATIONS}.
     */
    public Answer<Months> pChart() {
        double half = SHEWHART * Math.sqrt(hypotheses.p0() * (1 - hypotheses.p0()) / casesAMonth());
        Limits limits =
                new Limits(Math.max(0, hypotheses.p0() - half), hypotheses.p0(), Math.min(1, hypotheses.p0() + half));
        return monthly(p -> {
            double signal = 0;
            for (long x = 0; x <= casesAMonth(); x++) {
                if (limits.judge((double) x / casesAMonth()) != Signal.NONE) {
                    signal += BinomialLaw.probability(x, casesAMonth(), p);
                }
            }
            return 1 / signal;
        });
    }

    /** Cases of a month as the monthly charts take them: a twelfth of the yearly number, rounded. */
    public long casesAMonth() {
        return Math.round(casesPerYear / MONTHS);
    }

    private Answer<Months> monthly(DoubleUnaryOperator months) {
        return casesAMonth() == 0
                ? Answer.refused(Reason.TOO_FEW_OBSERVATIONS)
                : Answer.ok(new Months(months.applyAsDouble(hypotheses.p0()), months.applyAsDouble(hypotheses.p1())));
    }
}
