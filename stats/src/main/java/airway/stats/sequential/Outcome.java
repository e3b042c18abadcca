package airway.stats.sequential;

/** How one case ended. */
public enum Outcome {
    /** What is watched for did not happen. */
    SUCCESS,
    /** What is watched for happened. */
    FAILURE,
    /** Nobody wrote it down: neither success nor failure, a gap in the path. */
    UNKNOWN
}
