package airway.registry.access;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.database.ActorTransactions;
import airway.registry.testing.OpenRegistry;
import java.time.ZoneId;
import org.jooq.impl.DSL;
import org.junit.jupiter.api.Test;

class SitesDatabaseTest {
    private static final ZoneId UTC = ZoneId.of("UTC");

    /** Two imports make the same unit: the one that waited finds it there, and must be able to write into it. */
    @Test
    void aUnitThatSomebodyElseAddedMeanwhileIsInTheScopeOfTheProgram() {
        try (OpenRegistry registry = OpenRegistry.fresh()) {
            Sites sites = registry.bean(Sites.class);
            Short[] scope = registry.bean(ActorTransactions.class).write(dsl -> {
                Site meanwhile = sites.add("harbour", "Harbour", "picu", UTC, true);
                assertThat(Sites.add(dsl, "harbour", "Harbour", "picu", UTC, true))
                        .isEqualTo(meanwhile);
                return dsl.select(DSL.field("access.scope()", Short[].class))
                        .fetchSingle()
                        .value1();
            });
            assertThat(scope).containsExactly(sites.named("harbour").no());
        }
    }
}
