package airway.registry.research;

import airway.stats.disclosure.EquivalenceClasses;
import airway.stats.disclosure.Generalisation;
import airway.stats.disclosure.Generalisation.Loss;
import airway.stats.disclosure.RecognitionRisk;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * What research data would be like, before any are made: nothing but counts comes out of here.
 *
 * @param choice which data
 * @param matching records that match
 * @param notAllowed those of them that may not leave: the family objected, or nobody asked
 * @param rows those that may
 * @param patients their children
 * @param standingOut children in groups that are too small, with all as fine as it could be told
 * @param earlier packages of before that it was held against
 * @param tooClose whether it is refused for these alone
 * @param plan what would be made; null where it is refused
 */
record Outlook(
        Choice choice,
        long matching,
        long notAllowed,
        long rows,
        long patients,
        long standingOut,
        int earlier,
        boolean tooClose,
        @Nullable Plan plan) {

    Profile profile() {
        return choice.profile();
    }

    /** The variables that are made coarse. */
    List<KnownVariable> variables() {
        return choice.judged();
    }

    /**
     * What would be made.
     *
     * @param levels how fine each variable is told
     * @param removed rows left out
     * @param smallestGroup children in the smallest group
     * @param groups number of groups
     * @param risk of somebody known to be among the rows; with no population known, of anybody
     * @param lost what is left out, by whether there was a severe event
     * @param lostOfNamed what is left out of the group that the purpose names; null where there is none
     */
    record Plan(
            List<Integer> levels,
            long removed,
            int smallestGroup,
            int groups,
            RecognitionRisk risk,
            Map<String, Loss> lost,
            @Nullable Loss lostOfNamed) {

        /** The largest loss of a group in percent, rounded up to fives as all numbers here, where one loses more than a tenth. */
        OptionalInt lossToAccept() {
            return Stream.concat(lost.values().stream(), Stream.ofNullable(lostOfNamed))
                    .filter(Loss::overATenth)
                    .mapToInt(loss -> (int) ((loss.removed() * 20 + loss.all() - 1) / loss.all() * 5))
                    .max();
        }
    }

    /**
     * Works it out.
     *
     * @param matching records that match, whether or not they may leave
     * @param earlier packages of before that it was held against
     * @param tooClose whether it is refused for these alone
     * @param found what would be made of them; empty where nothing may
     */
    static Outlook of(
            Coarsening coarsening, long matching, int earlier, boolean tooClose, Optional<Generalisation> found) {
        EquivalenceClasses finest = coarsening.finest().classes();
        long rows = coarsening.rows().size();
        return new Outlook(
                coarsening.choice(),
                matching,
                matching - rows,
                rows,
                finest.patients(),
                finest.patientsBelow(coarsening.profile().k()),
                earlier,
                tooClose,
                found.map(one -> plan(coarsening, one)).orElse(null));
    }

    private static Plan plan(Coarsening coarsening, Generalisation found) {
        EquivalenceClasses classes = found.classes();
        return new Plan(
                found.levels(),
                new HashSet<>(found.removed()).size(),
                classes.k(),
                classes.all().size(),
                RecognitionRisk.prosecutor(classes, coarsening.profile().threshold()),
                found.lost(coarsening.rows()),
                coarsening.lostOfNamed(found));
    }
}
