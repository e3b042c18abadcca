package airway.registry.kit;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.sql.Sql;
import airway.sql.TestDatabase;
import java.sql.SQLException;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.junit.jupiter.api.Test;

/** Where items are, as the database works it out in one go, against the fold of each log. */
class WhereaboutsDatabaseTest {
    private static final Instant BEGIN = Instant.parse("2026-01-01T08:00:00Z");

    private final TestDatabase.Logins logins = TestDatabase.fresh();

    @Test
    void agreesWithTheFoldOfEachLogOverGeneratedLives() throws SQLException {
        Sql.execute(
                logins.owner(),
                "select access.add_site('one', 'one', 'picu', 'UTC', true);"
                        + "insert into access.actor (title) values ('a'), ('b')");
        Site site = new Site((short) 1, "one", "one", "picu", ZoneId.of("UTC"), true);
        Kind kind = new Kind(site, Walks.key(1), 1, "Straight blade, size 1", "Leaflet 7", null, null);
        Walks walks = new Walks(7, List.of(), BEGIN, 2, 3);
        List<Item> items = new ArrayList<>();
        List<List<Move>> logs = new ArrayList<>();
        for (int i = 0; i < 40; i++) {
            Item item = new Item(Walks.key(100 + i), kind, "0" + (100 + i), null, null, null, 0);
            items.add(item);
            // Uses without a record: the walk may not name one here, so it goes round by opened packs.
            logs.add(walks.walk(item, 1 + i));
        }
        Walks.keep(logins.app(), kind, items, logs, 2);

        List<String> told = new ArrayList<>();
        for (int i = 0; i < items.size(); i++) {
            Life life = Life.of(logs.get(i));
            told.add(String.join(
                    " | ",
                    items.get(i).name(),
                    life.state().code(),
                    life.since().toString(),
                    Objects.toString(life.place(), "-"),
                    Objects.toString(life.label(), "-"),
                    Objects.toString(life.useBy(), "-"),
                    String.valueOf(life.cycles())));
        }
        assertThat(Sql.rows(logins.owner(), """
                        select concat_ws(' | ', i.name, s.state,
                          to_char(s.since at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS"Z"'),
                          coalesce(s.place, '-'), coalesce(s.label, '-'), coalesce(s.use_by::text, '-'), s.cycles)
                        from kit.item i left join kit.standing s using (site_id, item_id) order by i.name
                        """)).containsExactlyElementsOf(told);
        assertThat(told.stream()
                        .map(line -> line.split(" \\| ", -1)[1])
                        .distinct()
                        .count())
                .as("the lives end in many states")
                .isGreaterThan(6);
        assertThat(logs.stream()
                        .flatMap(List::stream)
                        .filter(move -> move.done().equals(Move.UNDO)))
                .as("some moves were taken back")
                .hasSizeGreaterThan(10);
    }
}
