package airway.registry.release;

import airway.stats.disclosure.EquivalenceClasses;
import airway.stats.disclosure.Generalisation;
import airway.stats.disclosure.Generalisation.Demand;
import airway.stats.disclosure.Generalisation.Fine;
import airway.stats.disclosure.Generalisation.Loss;
import airway.stats.disclosure.RareValues;
import airway.stats.disclosure.RecognitionRisk;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * What research data would be like, before any are made: nothing but counts comes out of here.
 *
 * @param matching records that match
 * @param notAllowed those of them that may not leave: the family objected, or nobody asked
 * @param rows those that may
 * @param patients their children
 * @param standingOut children in groups that are too small, with all as fine as it could be told
 * @param plan what would be made; null where it is refused
 */
record Outlook(
        Profile profile,
        List<KnownVariable> variables,
        long matching,
        long notAllowed,
        long rows,
        long patients,
        long standingOut,
        @Nullable Plan plan) {

    /**
     * What would be made.
     *
     * @param levels how fine each variable is told
     * @param removed rows left out
     * @param smallestGroup children in the smallest group
     * @param groups number of groups
     * @param risk of somebody known to be among the rows; with no population known, of anybody
     * @param lost what is left out, by whether there was a severe event
     */
    record Plan(
            List<Integer> levels,
            long removed,
            int smallestGroup,
            int groups,
            RecognitionRisk risk,
            Map<String, Loss> lost) {}

    /**
     * Works it out.
     *
     * @param source all records of the unit that count, for judging what is rare
     * @param matching those of them that match
     */
    static Outlook of(
            Profile profile, List<KnownVariable> variables, List<Candidate> source, List<Candidate> matching) {
        List<Candidate> allowed = matching.stream().filter(Candidate::allowed).toList();
        Map<KnownVariable, Set<String>> rare = new EnumMap<>(KnownVariable.class);
        for (KnownVariable variable : variables) {
            List<RareValues.Held> held = new ArrayList<>();
            for (Candidate one : source) {
                String value = variable.rarelyHeld(one);
                if (value != null) {
                    held.add(new RareValues.Held(one.patient(), value));
                }
            }
            rare.put(variable, RareValues.of(held, profile.k()));
        }
        List<Fine> rows = allowed.stream()
                .map(one -> new Fine(
                        one.patient(),
                        variables.stream()
                                .map(variable -> levels(profile, variable, one, rare.getOrDefault(variable, Set.of())))
                                .toList(),
                        one.severe() ? "yes" : "no"))
                .toList();
        Demand demand = new Demand(profile.k(), 2, 1, 1, false, Profile.MOST_REMOVED);
        Optional<Generalisation> found = Generalisation.of(rows, demand);
        EquivalenceClasses finest = Generalisation.at(
                        rows,
                        new Demand(1, 1, 1, 1, false, 1),
                        variables.stream().map(one -> 0).toList())
                .classes();
        return new Outlook(
                profile,
                variables,
                matching.size(),
                matching.size() - allowed.size(),
                allowed.size(),
                finest.patients(),
                finest.patientsBelow(profile.k()),
                found.map(one -> plan(profile, rows, one)).orElse(null));
    }

    private static Plan plan(Profile profile, List<Fine> rows, Generalisation found) {
        EquivalenceClasses classes = found.classes();
        return new Plan(
                found.levels(),
                new HashSet<>(found.removed()).size(),
                classes.k(),
                classes.all().size(),
                RecognitionRisk.prosecutor(classes, profile.threshold()),
                found.lost(rows));
    }

    private static List<String> levels(Profile profile, KnownVariable variable, Candidate one, Set<String> rare) {
        List<String> levels = variable.levels(one, rare);
        int finest = finest(profile, variable);
        return levels.subList(finest, levels.size());
    }

    /** The finest level that the profile allows. */
    static int finest(Profile profile, KnownVariable variable) {
        return variable == KnownVariable.ENCOUNTER_START && !profile.years() ? 1 : 0;
    }
}
