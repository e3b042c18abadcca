package airway.registry.release;

import java.math.BigDecimal;
import java.time.YearMonth;
import org.jspecify.annotations.Nullable;

/**
 * A record that counts, with what could be known of its child.
 *
 * @param patient the same for all records of one child, where that is known
 * @param allowed whether the family was asked and did not object
 * @param severe whether a severe event is known; not known counts as none, so that it hides no group without any
 */
record Candidate(
        String patient,
        boolean allowed,
        YearMonth month,
        @Nullable Integer ageDays,
        @Nullable BigDecimal weight,
        @Nullable String sex,
        @Nullable String indication,
        @Nullable String mouthOpening,
        @Nullable String experience,
        boolean severe) {}
