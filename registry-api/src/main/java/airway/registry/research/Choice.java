package airway.registry.research;

import airway.registry.cohort.Cohort;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Which data: who will hold them, which answers, which records.
 *
 * @param variables those by which somebody could be known, the one to be kept finest first
 * @param answers the others
 * @param about the group that the purpose is about; null where it is about all
 */
record Choice(
        Profile profile,
        List<KnownVariable> variables,
        List<Answer> answers,
        Cohort cohort,
        @Nullable Group about) {}
