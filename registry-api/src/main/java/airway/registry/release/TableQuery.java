package airway.registry.release;

import static airway.sql.generated.analysis.Tables.CODE;
import static airway.sql.generated.analysis.Tables.FACT;
import static org.jooq.impl.DSL.coalesce;
import static org.jooq.impl.DSL.count;
import static org.jooq.impl.DSL.inline;

import airway.registry.access.Site;
import airway.registry.cohort.Stratum;
import java.time.LocalDate;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Table;

/** Counts the encounters of a unit by all that some tables ask about: one select, grouped in SQL. */
final class TableQuery {
    private TableQuery() {}

    static List<FactRow> rows(DSLContext dsl, List<TableSpec> tables) {
        Site site = tables.get(0).site();
        YearMonth from =
                tables.stream().map(TableSpec::from).min(YearMonth::compareTo).orElseThrow();
        YearMonth to =
                tables.stream().map(TableSpec::to).max(YearMonth::compareTo).orElseThrow();
        Set<Stratum> strata = new TreeSet<>();
        tables.forEach(table -> strata.addAll(table.strata()));
        List<Counting> countings =
                tables.stream().map(TableSpec::counting).distinct().toList();
        List<Field<?>> keys = new ArrayList<>(List.of(FACT.MONTH));
        List<Field<?>> named = new ArrayList<>(List.of(FACT.MONTH.as("month")));
        int number = 0;
        for (Stratum stratum : strata) {
            keys.add(stratum.column());
            named.add(stratum.column().as("no" + number++));
        }
        number = 0;
        for (Counting counting : countings) {
            Field<Short> answer = coalesce(counting.measure().column(counting.scheme()), inline((short) -1));
            keys.add(answer);
            named.add(answer.as("answer" + number++));
        }
        var groups = dsl.select(named)
                .select(count().as("number"))
                .from(FACT)
                .where(FACT.SITE_ID.eq(site.no()), FACT.MONTH.between(from.atDay(1), to.atDay(1)))
                .groupBy(keys)
                .asTable("groups");
        Table<?> joined = groups;
        List<Field<?>> shown = new ArrayList<>(List.of(groups.fields()));
        number = 0;
        for (Stratum stratum : strata) {
            var code = CODE.as("code" + number);
            joined = joined.leftJoin(code)
                    .on(code.VARIABLE.eq(stratum.variable()), code.NO.eq(groups.field("no" + number, Short.class)));
            shown.add(coalesce(code.CODE_, inline(Stratum.BLANK.value())).as("text" + number++));
        }
        return dsl.select(shown).from(joined).fetch(row -> {
            Map<Stratum, String> codes = new HashMap<>();
            int i = 0;
            for (Stratum stratum : strata) {
                codes.put(stratum, row.get("text" + i++, String.class));
            }
            Map<Counting, Integer> answers = new HashMap<>();
            for (int k = 0; k < countings.size(); k++) {
                answers.put(countings.get(k), row.get("answer" + k, Integer.class));
            }
            return new FactRow(
                    YearMonth.from(row.get("month", LocalDate.class)), codes, answers, row.get("number", Long.class));
        });
    }
}
