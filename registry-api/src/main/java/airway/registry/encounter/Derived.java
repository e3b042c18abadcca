package airway.registry.encounter;

import org.jspecify.annotations.Nullable;

/**
 * What the registry worked out from the answers; defined in SQL, in one place.
 *
 * @param outside why first-pass measures leave the record out by definition, or null
 * @param fps first-pass success
 * @param fpsStrict with exactly one tube pass
 * @param fpsClean without event or desaturation
 * @param trachealAttempts up to and including the first that succeeded; null when not known
 * @param spo2Lowest lowest saturation in percent; null when not known
 * @param severe a severe event by the default scheme
 */
public record Derived(
        @Nullable Outside outside,
        Verdict fps,
        Verdict fpsStrict,
        Verdict fpsClean,
        @Nullable Integer trachealAttempts,
        @Nullable Integer spo2Lowest,
        String ageBand,
        Verdict severe) {

    /** The answer of a measure for one record. */
    public enum Verdict {
        YES,
        NO,
        /** Neither in the numerator nor in the denominator; counted as left out. */
        EXCLUDED;

        static Verdict of(@Nullable Short stored) {
            return stored == null || stored < 0 ? EXCLUDED : stored == 1 ? YES : NO;
        }
    }

    /** Why a record is no tracheal intubation whose first attempt could have succeeded. */
    public enum Outside {
        TUBE_CHANGE,
        NO_ATTEMPT,
        NOT_TRACHEAL;

        static @Nullable Outside of(@Nullable Short stored) {
            return stored == null ? null : values()[stored - 1];
        }
    }
}
