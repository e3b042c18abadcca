package airway.registry.demo;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Sites;
import airway.registry.testing.OpenRegistry;
import java.time.ZoneId;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.MethodOrderer;
import org.junit.jupiter.api.Order;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestMethodOrder;

/** What {@code serve} shows, stored; a record that is not accepted stops the filling and so this test. */
@TestMethodOrder(MethodOrderer.OrderAnnotation.class)
class DemoDatabaseTest {
    private static OpenRegistry registry;
    private static int added;

    @BeforeAll
    static void fill() {
        registry = OpenRegistry.fresh();
        Demo demo = registry.bean(Demo.class);
        assertThat(demo.free()).isTrue();
        assertThat(demo.filled()).isFalse();
        added = demo.fill(Demo.SEED, Demo.MONTHS);
    }

    @AfterAll
    static void close() {
        registry.close();
    }

    @Test
    @Order(1)
    void storesEveryRecordWithItsFactsAndItsAudit() {
        assertThat(added).isBetween(1_700, 2_200);
        assertThat(registry.rows("select count(*), count(distinct source_row) from encounter.version"))
                .containsExactly(added + "," + added);
        assertThat(registry.rows("select count(*) from analysis.fact")).containsExactly("" + added);
        assertThat(registry.rows("select object, count(*) from audit.entry group by 1 order by 1"))
                .containsExactly("change,1", "encounter," + added);
        assertThat(registry.rows(
                        "select s.code, v.cuts_chart, v.changed_on = date_trunc('month', now() at time zone s.zone)"
                                + " - interval '12 months' from changes.version v join access.site s using (site_id)"))
                .containsExactly("harbour,t,t");
        assertThat(registry.rows("select reltuples::integer from pg_class where oid = 'encounter.version'::regclass"))
                .as("what the planner knows")
                .containsExactly("" + added);
        assertThat(registry.rows("select code, site_kind, zone, invented from access.site order by site_id"))
                .containsExactly(
                        "harbour,picu,Europe/London,t",
                        "lantern,nicu,Europe/London,t",
                        "meadow,icu_mixed,Europe/London,t");
    }

    @Test
    @Order(2)
    void countsTheOddMonthAsItWasMade() {
        assertThat(registry.rows("""
                select f.fps, count(*) from analysis.fact f join access.site s using (site_id)
                where s.code = 'harbour'
                  and f.month = date_trunc('month', now() at time zone 'Europe/London') - interval '20 months'
                group by 1 order by 1""")).containsExactly("0,18", "1,6");
    }

    /** Odd and real now and then, as in life; more would mean that the generator makes odd records. */
    @Test
    @Order(2)
    void asksAboutFewRecordsAndKeepsThemAsConfirmed() {
        int odd = Integer.parseInt(
                registry.rows("select count(*) from encounter.version where cardinality(confirmed) > 0")
                        .get(0));
        assertThat(odd).isBetween(added / 200, added / 20);
        assertThat(registry.rows("select distinct regexp_replace(p, '^.*/', '') from encounter.version,"
                        + " unnest(confirmed) p"))
                .isSubsetOf("adverse_event_any", "attempt_success", "tube_position", "view_screen");
    }

    @Test
    @Order(3)
    void addsNothingWhenFilledAgain() {
        assertThat(registry.bean(Demo.class).filled()).isTrue();
        // A minute that passed since may have brought a record that lay ahead then.
        assertThat(registry.bean(Demo.class).fill(Demo.SEED, Demo.MONTHS)).isLessThanOrEqualTo(1);
        assertThat(registry.rows("select count(*) from encounter.device_setup")).containsExactly("15");
    }

    @Test
    @Order(4)
    void makesRecordsThatAreAcceptedWithOtherSeedsToo() {
        for (long seed = 2; seed <= 6; seed++) {
            assertThat(registry.bean(Demo.class).fill(seed, 3)).isPositive();
        }
    }

    @Test
    @Order(5)
    void keepsOutOfARegistryWithUnitsOfItsOwn() {
        assertThat(registry.bean(Demo.class).free()).isTrue();
        registry.bean(Sites.class).add("real", "Real", "picu", ZoneId.of("UTC"), false);
        assertThat(registry.bean(Demo.class).free()).isFalse();
    }
}
