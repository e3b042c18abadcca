package airway.stats.sequential;

/**
 * One case with the probability of failure that a model gave it beforehand. The model is fitted on other data, carries a date,
 * and its calibration is shown beside every chart that rests on it.
 *
 * @param outcome how the case ended
 * @param risk probability of failure by the model, in [0, 1]
 */
public record PredictedCase(Outcome outcome, double risk) {

    /**
     * A case with its risk.
     *
     * @throws IllegalArgumentException if the risk is not in [0, 1] or not a number
     */
    public PredictedCase {
        if (!(risk >= 0 && risk <= 1)) {
            throw new IllegalArgumentException("risk = " + risk + ", must be in [0, 1]");
        }
    }

    boolean isKnown() {
        return outcome != Outcome.UNKNOWN;
    }

    /** 1 for a failure, 0 otherwise. */
    int failures() {
        return outcome == Outcome.FAILURE ? 1 : 0;
    }
}
