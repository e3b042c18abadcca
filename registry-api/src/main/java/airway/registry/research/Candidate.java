package airway.registry.research;

import java.math.BigDecimal;
import java.time.LocalDate;
import java.time.YearMonth;
import java.util.List;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A record that counts, with what could be known of its child.
 *
 * @param encounter its key, which never leaves
 * @param version its version
 * @param patient the same for all records of one child, where that is known
 * @param allowed whether the family was asked and did not object
 * @param day the day of the intubation in its unit; null where it is not known
 * @param severe whether a severe event is known; not known counts as none, so that it hides no group without any
 * @param named whether it belongs to the group that the purpose names
 * @param answers the other answers as they are told, one for each {@link Answer}
 */
record Candidate(
        UUID encounter,
        int version,
        String patient,
        boolean allowed,
        YearMonth month,
        @Nullable LocalDate day,
        @Nullable Integer ageDays,
        @Nullable BigDecimal weight,
        @Nullable String sex,
        @Nullable String indication,
        @Nullable String mouthOpening,
        @Nullable String experience,
        boolean severe,
        boolean named,
        List<String> answers) {}
