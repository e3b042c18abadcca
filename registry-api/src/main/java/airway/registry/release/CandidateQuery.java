package airway.registry.release;

import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.release.Tables.CANDIDATE;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortTable;
import airway.registry.cohort.Measure;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.List;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.impl.DSL;

/** Reads what could be known of the children of a unit, for counting alone. */
final class CandidateQuery {
    private CandidateQuery() {}

    /**
     * The records of some units.
     *
     * @param source all that count
     * @param matching those of them that are in the cohort
     */
    record Found(List<Candidate> source, List<Candidate> matching) {}

    static Found of(DSLContext dsl, Cohort cohort) {
        Field<Boolean> in = DSL.field(CohortTable.rows(cohort)).as("in_cohort");
        Field<Short> severe = Measure.AE_SEVERE.column(null).as("severe");
        List<Candidate> source = new ArrayList<>();
        List<Candidate> matching = new ArrayList<>();
        dsl.select(CANDIDATE.fields())
                .select(FACT.MONTH, severe, in)
                .from(CANDIDATE)
                .join(FACT)
                .on(FACT.SITE_ID.eq(CANDIDATE.SITE_ID), FACT.ENCOUNTER_ID.eq(CANDIDATE.ENCOUNTER_ID))
                .where(CANDIDATE.SITE_ID.in(
                        cohort.sites().stream().map(Site::no).toList()))
                .orderBy(CANDIDATE.SITE_ID, CANDIDATE.ENCOUNTER_ID)
                .forEach(row -> {
                    Short answer = row.get(severe);
                    Candidate one = new Candidate(
                            row.get(CANDIDATE.PATIENT),
                            row.get(CANDIDATE.OPTED_OUT).equals("no"),
                            YearMonth.from(row.get(FACT.MONTH)),
                            row.get(CANDIDATE.AGE_DAYS),
                            row.get(CANDIDATE.WEIGHT_KG),
                            row.get(CANDIDATE.SEX),
                            row.get(CANDIDATE.INDICATION_MAIN),
                            row.get(CANDIDATE.LIMITED_MOUTH_OPENING),
                            row.get(CANDIDATE.OPERATOR_EXPERIENCE),
                            answer != null && answer == 1);
                    source.add(one);
                    if (Boolean.TRUE.equals(row.get(in))) {
                        matching.add(one);
                    }
                });
        return new Found(source, matching);
    }
}
