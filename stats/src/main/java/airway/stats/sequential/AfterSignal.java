package airway.stats.sequential;

/** What a cumulative sum does at the case after a signal. */
public enum AfterSignal {
    /** It starts again from 0, so that each signal rests on new cases. */
    RESTART,
    /** It goes on, and every case at or above the limit is a signal. */
    CONTINUE
}
