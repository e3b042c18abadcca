package airway.registry.encounter;

import java.time.Instant;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;

/**
 * What the checks of a record look at besides the record.
 *
 * @param now the present
 * @param typed a person is typing it: a start long ago is asked about
 * @param before the version that is amended, or null
 * @param doses what the unit usually gives
 * @param vouched variables whose odd answers somebody has looked at: they are kept as confirmed
 */
record Circumstances(Instant now, boolean typed, @Nullable Encounter before, Doses doses, Predicate<String> vouched) {
    /** Of a record sent by a program. */
    static Circumstances sent(Instant now, Doses doses) {
        return new Circumstances(now, false, null, doses, variable -> false);
    }

    /** Of a record that is being typed, before anything is stored. */
    static Circumstances typed(Instant now) {
        return new Circumstances(now, true, null, Doses.NONE, variable -> false);
    }

    Circumstances amending(Encounter version) {
        return new Circumstances(now, typed, version, doses, vouched);
    }

    Circumstances vouching(Predicate<String> variables) {
        return new Circumstances(now, typed, before, doses, variables);
    }
}
