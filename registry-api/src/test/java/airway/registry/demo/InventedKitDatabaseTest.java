package airway.registry.demo;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.OpenRegistry;
import org.junit.jupiter.api.Test;

/** The kit that {@code serve --airway.demo=true} shows; a move that is not accepted stops the filling and so this test. */
class InventedKitDatabaseTest {
    @Test
    void hasAnItemInEachPlaceOfTheRoundAndOnesThatTheLatestRecordsName() {
        try (OpenRegistry registry = OpenRegistry.fresh("--airway.demo=true", "--server.address=127.0.0.1")) {
            Demo demo = registry.bean(Demo.class);
            demo.fill(Demo.SEED, 1);
            demo.fill(Demo.SEED, 1);

            assertThat(registry.rows(
                            "select distinct on (item_id) to_state from kit.move" + " order by item_id, version desc"))
                    .contains("new", "ready", "placed", "used", "sent", "returned", "held", "retired", "missing")
                    .hasSize(15);
            assertThat(registry.rows("select count(*) from kit.item")).containsExactly("15");
            assertThat(registry.rows(
                            "select i.name from kit.use u join kit.item i using (site_id, item_id) order by 1"))
                    .containsExactly("0412", "0413", "H-02");
            assertThat(registry.rows("select told from kit.discrepancy where kind = 'item_unknown'"))
                    .containsExactly("0499");
            // Tubes by lot, one of which the latest record names, and trolleys with their checks.
            assertThat(registry.rows("select lot || ' ' || in_stock from kit.lot_left order by 1"))
                    .containsExactly("A1207 5", "B0311 2", "C0002 1");
            assertThat(
                            registry.rows(
                                    "select t.title || ' ' || string_agg(c.kind, ' ' order by c.version) from kit.trolley t"
                                            + " join kit.trolley_check c using (site_id, trolley_id) group by t.title order by 1"))
                    .containsExactly("Trolley 1 full short", "Trolley 2 full short", "Trolley 3 full");
            assertThat(registry.rows("select distinct a.title from kit.move m join access.actor a"
                            + " on a.actor_id = m.recorded_by where m.move = 'placed'"))
                    .containsExactly("Kit keeper");
            assertThat(registry.rows("select * from audit.findings()")).isEmpty();
        }
    }
}
