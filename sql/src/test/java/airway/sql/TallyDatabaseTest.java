package airway.sql;

import static org.assertj.core.api.Assertions.assertThat;

import java.sql.SQLException;
import org.junit.jupiter.api.Test;

class TallyDatabaseTest {
    private static final int ROWS = 30_000;

    private final TestDatabase.Logins logins = TestDatabase.fresh();

    @Test
    void tellsTheSameCountsAsTheRowsOfAYearOfManyParts() throws SQLException {
        Sql.execute(logins.owner(), "select access.add_site('one', 'one', 'picu', 'Europe/London', true)");
        // Rows without records behind them: nine thousand real ones take minutes.
        Sql.execute(logins.owner(), "alter table analysis.fact drop constraint fact_site_id_encounter_id_version_fkey");
        Sql.execute(
                logins.owner(),
                "insert into analysis.fact (site_id, encounter_id, version, started_at, day, month, nominal, fps, event_count, device_mode, spo2_low)"
                        + " select 1, md5(i::text)::uuid, 1, '2026-03-05', '2026-03-05', make_date(2026, 1 + i % 12, 1), i % 50 = 0,"
                        + " nullif(i % 4, 3) - 1, nullif(i % 7, 6) - 1, nullif(i % 5, 4), 40 + i % 61 from generate_series(1, "
                        + ROWS + ") i");
        Sql.execute(logins.owner(), "select analysis.tally(10)");

        assertThat(Sql.rows(
                        logins.owner(),
                        "select distinct part || ' ' || length(records) from analysis.tally order by 1"))
                .containsExactly("0 14336", "1 14336", "2 1328");
        assertThat(Sql.rows(
                        logins.owner(),
                        "select question from analysis.tally group by question having sum(bit_count(records)) <> "
                                + ROWS))
                .as("each row gives one answer to each question")
                .isEmpty();
        assertThat(Sql.rows(
                        logins.owner(),
                        "select concat_ws(' ', f.answer, d.answer, e.answer, sum(bit_count(f.records & d.records & e.records)))"
                                + " from analysis.tally f join analysis.tally d using (site_id, year, part)"
                                + " join analysis.tally e using (site_id, year, part)"
                                + " where (f.question, d.question, e.question) = ('fps', 'device_mode', 'event_count')"
                                + " group by f.answer, d.answer, e.answer having sum(bit_count(f.records & d.records & e.records)) > 0"
                                + " order by 1"))
                .hasSizeGreaterThan(100)
                .isEqualTo(Sql.rows(
                        logins.owner(),
                        "select concat_ws(' ', coalesce(fps, -2), coalesce(device_mode, -1), coalesce(event_count, -2), count(*))"
                                + " from analysis.fact group by fps, device_mode, event_count order by 1"));
        assertThat(Sql.rows(
                        logins.owner(),
                        "select concat_ws(' ', m.month, f.answer, sum(bit_count(substring(f.records from m.first for m.times))))"
                                + " from analysis.tally f join analysis.tally_block b using (block)"
                                + " cross join unnest(b.months, b.firsts, b.times) m (month, first, times) where f.question = 'fps'"
                                + " group by m.month, f.answer having sum(bit_count(substring(f.records from m.first for m.times))) > 0"
                                + " order by 1"))
                .as("the months, cut out")
                .hasSize(12)
                .isEqualTo(Sql.rows(
                        logins.owner(),
                        "select concat_ws(' ', extract(month from month), coalesce(fps, -2), count(*)) from analysis.fact"
                                + " group by month, fps order by 1"));
        assertThat(
                        Sql.rows(
                                logins.owner(),
                                "select sum(get_byte(v.answers, 2 * place + 1)) from analysis.tally f"
                                        + " join analysis.tally_value v using (block)"
                                        + " cross join generate_series(0, length(f.records) - 1) place"
                                        + " where (f.question, f.answer, v.question) = ('fps', 1, 'spo2_low') and get_bit(f.records, place) = 1"))
                .as("values stand at the places of their records")
                .isEqualTo(Sql.rows(logins.owner(), "select sum(spo2_low) from analysis.fact where fps = 1"));
    }
}
