package airway.registry.research;

import airway.stats.disclosure.Generalisation;
import airway.stats.disclosure.Generalisation.Demand;
import airway.stats.disclosure.Generalisation.Fine;
import airway.stats.disclosure.Generalisation.Loss;
import airway.stats.disclosure.RareValues;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/**
 * Records that may leave, ready to be made coarse: the one way to it, for the outlook and for the package.
 *
 * @param choice which data
 * @param allowed the records, those that may not leave left out
 * @param rare values that few children have, by variable
 * @param rows what could be known of each, from the finest level that the profile allows
 */
record Coarsening(Choice choice, List<Candidate> allowed, Map<String, Set<String>> rare, List<Fine> rows) {

    /** Told in place of a rare value. */
    static final String OTHER = "other";

    /**
     * Gets ready.
     *
     * @param source all records of the unit that count, for judging what is rare
     * @param matching those of them that match
     */
    static Coarsening of(Choice choice, List<Candidate> source, List<Candidate> matching) {
        Map<String, Set<String>> rare = new TreeMap<>();
        for (KnownVariable variable : choice.judged()) {
            rare.put(variable.variable(), rare(source, variable::rarelyHeld, choice.profile()));
        }
        for (Answer answer : Answer.values()) {
            if (answer.grouped()) {
                rare.put(
                        answer.variable(),
                        rare(source, one -> present(one.answers().get(answer.place())), choice.profile()));
            }
        }
        return of(choice, matching, rare);
    }

    /** As it was approved: what was rare then stays grouped. */
    static Coarsening of(Choice choice, List<Candidate> matching, Map<String, Set<String>> rare) {
        List<Candidate> allowed = matching.stream().filter(Candidate::allowed).toList();
        Finest finest = new Finest(choice, rare);
        return new Coarsening(
                choice, allowed, rare, allowed.stream().map(finest::of).toList());
    }

    Profile profile() {
        return choice.profile();
    }

    /** The variables that are made coarse, the one to be kept finest first. */
    List<KnownVariable> variables() {
        return choice.judged();
    }

    /** What could be known of a record; records of which the same could be known share it. */
    static final class Finest {
        private final Choice choice;
        private final Map<String, Set<String>> rare;
        private final Map<List<?>, List<?>> shared = new HashMap<>();

        Finest(Choice choice, Map<String, Set<String>> rare) {
            this.choice = choice;
            this.rare = rare;
        }

        Fine of(Candidate one) {
            List<List<String>> levels = new ArrayList<>();
            for (KnownVariable variable : choice.judged()) {
                List<String> all = variable.levels(one, rare.getOrDefault(variable.variable(), Set.of()));
                levels.add(same(all.subList(finest(choice.profile(), variable), all.size())));
            }
            return new Fine(one.patient(), same(levels), one.severe() ? "yes" : "no");
        }

        @SuppressWarnings("unchecked") // Equal lists have members of one kind.
        private <T> List<T> same(List<T> list) {
            return (List<T>) shared.computeIfAbsent(list, List::copyOf);
        }
    }

    private static Set<String> rare(
            List<Candidate> source, Function<Candidate, @Nullable String> held, Profile profile) {
        List<RareValues.Held> all = new ArrayList<>();
        for (Candidate one : source) {
            String value = held.apply(one);
            if (value != null) {
                all.add(new RareValues.Held(one.patient(), value));
            }
        }
        return new TreeSet<>(RareValues.of(all, profile.k()));
    }

    private static @Nullable String present(String value) {
        return Missing.is(value) ? null : value;
    }

    /**
     * The choice of levels that loses least; empty where however coarse some child would stand out.
     *
     * @param earlier what has left before, beside which no child may stand out either
     */
    Optional<Generalisation> coarse(Earlier earlier) {
        return Generalisation.of(rows, demand(), found -> earlier.allows(this, found));
    }

    /** The choice of levels that was approved. */
    Generalisation at(List<Integer> levels) {
        return Generalisation.at(rows, demand(), levels);
    }

    /** All as fine as it could be told. */
    Generalisation finest() {
        return Generalisation.at(
                rows,
                new Demand(1, 1, 1, 1, choice.pseudonymised(), 1),
                variables().stream().map(one -> 0).toList());
    }

    private Demand demand() {
        return demand(profile().k(), choice.pseudonymised());
    }

    /**
     * What every group must have: so many children, and some with and some without a severe event.
     *
     * @param linked whether rows of one child can be joined
     */
    static Demand demand(int k, boolean linked) {
        return new Demand(k, 2, 1, 1, linked, Profile.MOST_REMOVED);
    }

    /** What the group loses that the purpose names; null where there is nobody in it. */
    @Nullable
    Loss lostOfNamed(Generalisation found) {
        Set<Integer> removed = new HashSet<>(found.removed());
        long all = 0;
        long lost = 0;
        for (int i = 0; i < allowed.size(); i++) {
            if (allowed.get(i).named()) {
                all++;
                lost += removed.contains(i) ? 1 : 0;
            }
        }
        return all == 0 ? null : new Loss(lost, all);
    }

    /** How fine a variable is told, in words. */
    String toldAs(Generalisation found, int number) {
        return toldAs(profile(), variables().get(number), found.levels().get(number));
    }

    static String toldAs(Profile profile, KnownVariable variable, int level) {
        return variable.words(level + finest(profile, variable));
    }

    /** The finest level that the profile allows. */
    static int finest(Profile profile, KnownVariable variable) {
        return variable == KnownVariable.ENCOUNTER_START && !profile.years() ? 1 : 0;
    }
}
