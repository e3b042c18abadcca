package airway.registry.kit;

import airway.stats.Answer;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.interval.ProportionInterval;
import airway.stats.survival.KaplanMeier;
import airway.stats.survival.Observation;
import java.time.YearMonth;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * The measures of the kit of one unit by month, the latest last.
 *
 * @param away how long items that were sent were away, all months together
 */
record KitCounts(List<Month> months, List<Observation> away) {
    KitCounts {
        months = List.copyOf(months);
        away = List.copyOf(away);
    }

    /** A measure that is a share. */
    enum Share {
        TROLLEY_READY("Days on which every trolley was last found ready, in time", "days"),
        CHECK_ON_TIME("Days on which every trolley had been checked in time", "days"),
        LABEL_TRACED("Attempts with a reusable blade that a use of an item names", "attempts");

        private final String title;
        private final String of;

        Share(String title, String of) {
            this.title = title;
            this.of = of;
        }

        String title() {
            return title;
        }

        /** What is counted. */
        String of() {
            return of;
        }

        String code() {
            return name().toLowerCase(Locale.ROOT);
        }
    }

    /**
     * A month.
     *
     * @param ready days with a trolley in use, up to yesterday, on which all were last found ready
     * @param onTime the same days, on which none was overdue
     * @param traced attempts with a reusable blade that a use names
     * @param sentDays sendings that began in it, in days; those that ended ready again are events
     */
    record Month(YearMonth month, Proportion ready, Proportion onTime, Proportion traced, List<Observation> sentDays) {
        Month {
            sentDays = List.copyOf(sentDays);
        }

        Proportion of(Share share) {
            return switch (share) {
                case TROLLEY_READY -> ready;
                case CHECK_ON_TIME -> onTime;
                case LABEL_TRACED -> traced;
            };
        }
    }

    /** All months together. */
    Proportion total(Share share) {
        long x = months.stream().mapToLong(month -> month.of(share).x()).sum();
        long n = months.stream().mapToLong(month -> month.of(share).n()).sum();
        return new Proportion(x, n);
    }

    /** A share with its 95% interval (Wilson); empty without a case. */
    static Optional<Estimate> estimate(Proportion share) {
        return ProportionInterval.WILSON.of(share, Confidence.DEFAULT).toOptional();
    }

    /** How long items are away (Kaplan and Meier; what is away still counts as watched until now). */
    static Answer<KaplanMeier> turnaround(List<Observation> away) {
        return KaplanMeier.of(away, Confidence.DEFAULT);
    }
}
