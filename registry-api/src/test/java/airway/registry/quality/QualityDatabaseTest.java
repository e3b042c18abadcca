package airway.registry.quality;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.demo.Demo;
import airway.registry.testing.OpenRegistry;
import airway.sql.TestDatabase;
import java.time.Clock;
import java.time.YearMonth;
import java.util.List;
import org.junit.jupiter.api.Test;

class QualityDatabaseTest {
    private static final List<String> TABLES = List.of(
            "encounter.encounter",
            "encounter.version",
            "encounter.patient",
            "encounter.course",
            "encounter.drug",
            "encounter.attempt",
            "encounter.event",
            "analysis.fact");

    /** The statements of the program end after some seconds by a setting of the program, so a bad plan fails here. */
    @Test
    void looksAtManyRecordsOfWhichThePlannerKnowsNothing() {
        TestDatabase.Logins logins = TestDatabase.fresh();
        try (OpenRegistry registry = OpenRegistry.on(logins)) {
            registry.bean(Demo.class).fill(Demo.SEED, Demo.MONTHS);
            for (String table : TABLES) {
                String[] name = table.split("\\.", 2);
                registry.rows("select pg_clear_relation_stats('" + name[0] + "', '" + name[1] + "')::text");
                registry.rows("select pg_clear_attribute_stats('" + name[0] + "', '" + name[1]
                        + "', attname, false)::text from pg_attribute where attrelid = '" + table
                        + "'::regclass and attnum > 0 and not attisdropped");
            }
            assertThat(registry.rows("select count(*) from pg_stats where schemaname = 'encounter'"
                            + " and tablename in ('version', 'attempt', 'course')"))
                    .containsExactly("0");
            YearMonth now = YearMonth.now(registry.bean(Clock.class));
            for (Site site : registry.bean(Sites.class).all()) {
                Overview seen = registry.bean(Quality.class).look(site, now.minusMonths(35), now);

                assertThat(seen.entered().records()).isGreaterThan(100);
                assertThat(seen.months().stream()
                                .mapToInt(Overview.Month::contradictions)
                                .sum())
                        .isEqualTo(seen.contradictions().total());
            }
        }
    }
}
