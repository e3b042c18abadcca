package airway.registry.cohort;

import static airway.sql.generated.analysis.Tables.CODE;
import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.analysis.Tables.SETUP;

import airway.registry.access.Site;
import airway.registry.dictionary.Code;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.impl.DSL;

/** A cohort as conditions on the fact rows. */
public final class CohortTable {
    private CohortTable() {}

    /**
     * The rows that belong to the cohort. Units and months stand in the text, so that no plan is made without them. All units
     * together are what row security lets through anyway.
     */
    public static Condition rows(Cohort cohort) {
        List<Condition> conditions = new ArrayList<>();
        if (!cohort.everywhere()) {
            conditions.add(FACT.SITE_ID.eq(
                    DSL.any(DSL.inline(cohort.sites().stream().map(Site::no).toArray(Short[]::new)))));
        }
        if (cohort.from() != null) {
            conditions.add(FACT.MONTH.ge(DSL.inline(cohort.from().atDay(1))));
        }
        if (cohort.to() != null) {
            conditions.add(FACT.MONTH.le(DSL.inline(cohort.to().atDay(1))));
        }
        for (Map.Entry<Stratum, Set<String>> filter : cohort.filters().entrySet()) {
            conditions.add(oneOf(filter.getKey(), filter.getValue()));
        }
        if (!cohort.setups().isEmpty()) {
            conditions.add(FACT.SETUP_NO.in(
                    DSL.select(SETUP.SETUP_NO).from(SETUP).where(SETUP.DEVICE_SETUP_ID.in(cohort.setups()))));
        }
        return DSL.and(conditions);
    }

    /** The set-ups of a unit by key and title, in the order in which they were added. */
    public static List<Code> setups(DSLContext dsl, Site site) {
        return dsl.select(SETUP.DEVICE_SETUP_ID, SETUP.TITLE)
                .from(SETUP)
                .where(SETUP.SITE_ID.eq(site.no()))
                .orderBy(SETUP.SETUP_NO)
                .fetch(row -> new Code(row.value1(), row.value2()));
    }

    /** Each code is looked up once, not joined: the planner can guess how many rows have it, and a row costs a comparison. */
    private static Condition oneOf(Stratum stratum, Set<String> codes) {
        Field<Short> column = stratum.column();
        return DSL.or(codes.stream()
                .map(code -> code.equals(Stratum.BLANK.value())
                        ? column.isNull()
                        : column.eq(DSL.select(CODE.NO)
                                .from(CODE)
                                .where(CODE.VARIABLE.eq(stratum.variable()), CODE.CODE_.eq(code))))
                .toList());
    }
}
