package airway.stats.survival;

/**
 * How long one case was watched, and whether the event ended it.
 *
 * @param time time at risk in a unit of the caller's choice, in [0, 1e12]
 * @param event true: the event came at this time; false: until then it had not come, and the case was watched no longer
 */
public record Observation(double time, boolean event) {

    /**
     * An observation.
     *
     * @throws IllegalArgumentException if the time is NaN or out of range
     */
    public Observation {
        if (!(time >= 0 && time <= 1e12)) {
            throw new IllegalArgumentException("time = " + time + ", must be in [0, 1e12]");
        }
    }
}
