package airway.registry.encounter;

import airway.registry.access.Actor;
import airway.registry.access.Site;
import airway.registry.dictionary.Condition;
import airway.registry.dictionary.Dictionary;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * What the record page has to offer: the unit, who fills it in, and the unit's set-ups in the order they were added.
 *
 * @param away the database cannot be reached, and this is what was offered before
 */
record Offered(Site site, Actor actor, List<DeviceSetup> setups, boolean away) {
    Offered whileAway() {
        return new Offered(site, actor, setups, true);
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

    /** Whether it is asked where the operator looked: with this set-up the larynx can be seen in two ways. */
    static boolean lookAsked(@Nullable DeviceSetup setup) {
        return Dictionary.current().variable("look_target").when().test(answered(setup)) != Condition.Truth.FALSE;
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
