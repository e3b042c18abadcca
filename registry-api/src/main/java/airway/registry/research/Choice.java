package airway.registry.research;

import airway.registry.cohort.Cohort;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Which data: who will hold them, which answers, which records.
 *
 * @param safeHarbor whether nothing finer than a year and no code for a child may leave, whoever holds the data
 * @param variables those by which somebody could be known, the one to be kept finest first
 * @param answers the others
 * @param about the group that the purpose is about; null where it is about all
 */
record Choice(
        Profile profile,
        boolean safeHarbor,
        List<KnownVariable> variables,
        List<Answer> answers,
        Cohort cohort,
        @Nullable Group about) {

    /** Whether each row carries a pseudonym of its child, so that rows of one child can be joined. */
    boolean pseudonymised() {
        return profile == Profile.INTERNAL_PSEUDONYMISED && !safeHarbor;
    }

    /** Whether the day is told, shifted by a secret number of days. */
    boolean shifted() {
        return pseudonymised() && variables.contains(KnownVariable.ENCOUNTER_START);
    }

    /** The variables that are made coarse together: a day that is shifted is not among them. */
    List<KnownVariable> judged() {
        return variables.stream()
                .filter(one -> one != KnownVariable.ENCOUNTER_START || !shifted())
                .toList();
    }

    /** Who will hold the data, in words. */
    String holder() {
        return profile.title() + (safeHarbor ? "; nothing finer than a year, no code for a child" : "");
    }
}
