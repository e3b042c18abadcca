package airway.registry.reports;

import static airway.sql.generated.analysis.Tables.FACT;
import static org.jooq.impl.DSL.count;

import airway.registry.access.Site;
import airway.registry.cohort.Measure;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Record;

/** Counts the measures of a report over the two years up to the end of a quarter: one select, grouped by month. */
final class FigureQuery {
    private static final int COUNTS_OF_A_MEASURE = 4;

    private final DSLContext dsl;
    private final Site site;
    private final Quarter quarter;
    private final List<Measure> measures;

    FigureQuery(DSLContext dsl, Site site, Quarter quarter, List<Measure> measures) {
        this.dsl = dsl;
        this.site = site;
        this.quarter = quarter;
        this.measures = measures;
    }

    /** What was counted; parameters as in {@link Figures}. */
    record Counts(long records, long recordsOfTwoYears, long nominal, List<Figures.Figure> figures) {}

    Counts counts() {
        List<Field<?>> columns = new ArrayList<>(List.of(FACT.MONTH, count(), count().filterWhere(FACT.NOMINAL)));
        int before = columns.size();
        for (Measure measure : measures) {
            Field<Short> answer = measure.column(null);
            columns.add(count().filterWhere(answer.eq((short) 1)));
            columns.add(count().filterWhere(answer.ge((short) 0)));
            columns.add(count().filterWhere(answer.isNull()));
            columns.add(count().filterWhere(answer.lt((short) 0)));
        }
        Tally[] ofQuarter = none();
        Tally[] ofYear = none();
        Tally[] ofYearBefore = none();
        long records = 0;
        long all = 0;
        long nominal = 0;
        for (Record row : dsl.select(columns).from(FACT).where(counted()).groupBy(FACT.MONTH)) {
            YearMonth month = YearMonth.from(row.get(FACT.MONTH));
            boolean inQuarter = !month.isBefore(quarter.from());
            boolean inYear = !month.isBefore(quarter.year());
            long here = row.get(1, Long.class);
            all += here;
            records += inQuarter ? here : 0;
            nominal += row.get(2, Long.class);
            for (int i = 0; i < measures.size(); i++) {
                int at = before + COUNTS_OF_A_MEASURE * i;
                Tally tally = new Tally(
                        row.get(at, Long.class),
                        row.get(at + 1, Long.class),
                        row.get(at + 2, Long.class),
                        row.get(at + 3, Long.class));
                Tally[] year = inYear ? ofYear : ofYearBefore;
                year[i] = year[i].plus(tally);
                if (inQuarter) {
                    ofQuarter[i] = ofQuarter[i].plus(tally);
                }
            }
        }
        List<Figures.Figure> figures = new ArrayList<>();
        for (int i = 0; i < measures.size(); i++) {
            figures.add(new Figures.Figure(measures.get(i), ofQuarter[i], ofYear[i], ofYearBefore[i]));
        }
        return new Counts(records, all, nominal, figures);
    }

    private Tally[] none() {
        Tally[] tallies = new Tally[measures.size()];
        Arrays.fill(tallies, Tally.NOTHING);
        return tallies;
    }

    private Condition counted() {
        return FACT.SITE_ID
                .eq(site.no())
                .and(FACT.MONTH.between(quarter.counted().atDay(1), quarter.to().atDay(1)));
    }
}
