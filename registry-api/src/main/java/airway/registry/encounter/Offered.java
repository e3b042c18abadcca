package airway.registry.encounter;

import airway.registry.access.Actor;
import airway.registry.access.Site;
import airway.registry.dictionary.Condition;
import airway.registry.dictionary.Variable;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * What the record page has to offer: the unit, who fills it in, and the unit's set-ups in the order they were added.
 *
 * @param uses how often who fills it in has used a set-up before, by key, as far as it was recorded here
 * @param away the database cannot be reached, and this is what was offered before
 */
record Offered(Site site, Actor actor, List<DeviceSetup> setups, Map<String, EarlierUses> uses, boolean away) {
    Offered whileAway() {
        return new Offered(site, actor, setups, uses, true);
    }

    /** The set-up of a tile, or null when the tile names none of the list. */
    @Nullable
    DeviceSetup setup(@Nullable String id) {
        return setups.stream()
                .filter(setup -> setup.id().equals(id))
                .findFirst()
                .orElse(null);
    }

    Map<String, DeviceSetup> setupsById() {
        return setups.stream().collect(Collectors.toMap(DeviceSetup::id, Function.identity()));
    }

    /** Whether a question about an attempt is asked with this set-up; with one that is not known it is. */
    static boolean asked(Variable variable, @Nullable DeviceSetup setup) {
        return variable.when().test(answered(setup)) != Condition.Truth.FALSE;
    }

    /** When such a question is asked, in the words of the page's script. */
    String when(Variable variable, String prefix) {
        String asked = Stream.concat(
                        setups.stream().filter(setup -> asked(variable, setup)).map(DeviceSetup::id),
                        Stream.of("other"))
                .collect(Collectors.joining(","));
        return prefix + "setup:" + asked + ";" + prefix + "with:" + asked;
    }

    private static Condition.Answered answered(@Nullable DeviceSetup setup) {
        return new Condition.Answered() {
            @Override
            public Optional<Object> answer(String variable) {
                return setup == null ? Optional.empty() : setup.answers().forCondition(variable);
            }

            @Override
            public boolean anyMissing(String variable) {
                return true;
            }
        };
    }
}
