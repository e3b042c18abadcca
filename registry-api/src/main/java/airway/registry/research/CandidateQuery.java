package airway.registry.research;

import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.research.Tables.CANDIDATE;
import static airway.sql.generated.research.Tables.CHOSEN;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.cohort.CohortTable;
import airway.registry.cohort.Measure;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.jooq.Condition;
import org.jooq.Cursor;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.SelectJoinStep;
import org.jooq.SelectOnConditionStep;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Reads what could be known of the children of a unit. */
final class CandidateQuery {
    private static final Field<Short> SEVERE = Measure.AE_SEVERE.column(null).as("severe");

    /** Rows that come from the database at once. */
    private static final int AT_ONCE = 10_000;

    /** Values that many records have, each once: a million records have to find room. */
    private final Map<Object, Object> shared = new HashMap<>();

    private CandidateQuery() {}

    @SuppressWarnings("unchecked") // Equal values are of one type.
    private <T> T same(T value) {
        return value == null ? value : (T) shared.computeIfAbsent(value, one -> one);
    }

    /**
     * The records of some units.
     *
     * @param source all that count
     * @param matching those of them that are in the cohort
     */
    record Found(List<Candidate> source, List<Candidate> matching) {}

    static Found of(DSLContext dsl, Choice choice) {
        Cohort cohort = choice.cohort();
        Field<Boolean> in = DSL.field(CohortTable.rows(cohort)).as("in_cohort");
        List<Candidate> source = new ArrayList<>();
        List<Candidate> matching = new ArrayList<>();
        CandidateQuery query = new CandidateQuery();
        try (Cursor<? extends Record> rows = from(selected(dsl, choice, in))
                .where(CANDIDATE.SITE_ID.in(
                        cohort.sites().stream().map(Site::no).toList()))
                .orderBy(CANDIDATE.SITE_ID, CANDIDATE.ENCOUNTER_ID)
                .fetchSize(AT_ONCE)
                .fetchLazy()) {
            for (Record row : rows) {
                Candidate one = query.candidate(row);
                source.add(one);
                if (Boolean.TRUE.equals(row.get(in))) {
                    matching.add(one);
                }
            }
        }
        return new Found(source, matching);
    }

    /**
     * The records of an approval as they are now, those of them that still count and were not put right since.
     *
     * @param each runs after every record
     */
    static List<Candidate> chosen(DSLContext dsl, DataRequest request, Runnable each) {
        Choice choice = request.choice();
        List<Candidate> chosen = new ArrayList<>();
        CandidateQuery query = new CandidateQuery();
        try (Cursor<? extends Record> rows = from(selected(
                        dsl, choice, DSL.inline(true).as("in_cohort")))
                .join(CHOSEN)
                .on(
                        CHOSEN.SITE_ID.eq(CANDIDATE.SITE_ID),
                        CHOSEN.ENCOUNTER_ID.eq(CANDIDATE.ENCOUNTER_ID),
                        CHOSEN.ENCOUNTER_VERSION.eq(CANDIDATE.VERSION))
                .where(
                        CHOSEN.SITE_ID.eq(request.site().no()),
                        CHOSEN.REQUEST_ID.eq(request.id()),
                        CHOSEN.VERSION.eq(request.version()))
                .orderBy(CANDIDATE.SITE_ID, CANDIDATE.ENCOUNTER_ID)
                .fetchSize(AT_ONCE)
                .fetchLazy()) {
            for (Record row : rows) {
                chosen.add(query.candidate(row));
                each.run();
            }
        }
        return chosen;
    }

    private static SelectJoinStep<? extends Record> selected(DSLContext dsl, Choice choice, Field<Boolean> in) {
        return dsl.select(CANDIDATE.fields())
                .select(FACT.MONTH, FACT.OUTSIDE, FACT.FPS, FACT.TRACHEAL_ATTEMPTS, FACT.SPO2_LOWEST, FACT.AE_ANY)
                .select(SEVERE, in, DSL.field(named(choice)).as("named"))
                .from(CANDIDATE);
    }

    private static SelectOnConditionStep<? extends Record> from(SelectJoinStep<? extends Record> selected) {
        return selected.join(FACT).on(FACT.SITE_ID.eq(CANDIDATE.SITE_ID), FACT.ENCOUNTER_ID.eq(CANDIDATE.ENCOUNTER_ID));
    }

    private static Condition named(Choice choice) {
        Group about = choice.about();
        return about == null
                ? DSL.falseCondition()
                : CohortTable.rows(new Cohort(
                        choice.cohort().sites(), null, null, Map.of(about.variable(), Set.of(about.code())), Set.of()));
    }

    private Candidate candidate(Record row) {
        Short severe = row.get(SEVERE);
        return new Candidate(
                row.get(CANDIDATE.ENCOUNTER_ID),
                row.get(CANDIDATE.VERSION),
                row.get(CANDIDATE.PATIENT),
                row.get(CANDIDATE.OPTED_OUT).equals("no"),
                same(YearMonth.from(row.get(FACT.MONTH))),
                same(row.get(CANDIDATE.DAY)),
                same(row.get(CANDIDATE.AGE_DAYS)),
                same(row.get(CANDIDATE.WEIGHT_KG)),
                same(row.get(CANDIDATE.SEX)),
                same(row.get(CANDIDATE.INDICATION_MAIN)),
                same(row.get(CANDIDATE.LIMITED_MOUTH_OPENING)),
                same(row.get(CANDIDATE.OPERATOR_EXPERIENCE)),
                severe != null && severe == 1,
                Boolean.TRUE.equals(row.get("named", Boolean.class)),
                same(Arrays.stream(Answer.values())
                        .map(answer -> same(told(answer, row, severe)))
                        .toList()));
    }

    private static String told(Answer answer, Record row, @Nullable Short severe) {
        boolean outside = row.get(FACT.OUTSIDE) != null;
        return switch (answer) {
            case FPS -> answer.told(row.get(FACT.FPS), outside);
            case TRACHEAL_ATTEMPTS -> answer.told(row.get(FACT.TRACHEAL_ATTEMPTS), outside);
            case SPO2_LOWEST -> answer.told(row.get(FACT.SPO2_LOWEST), outside);
            case AE_ANY -> answer.told(row.get(FACT.AE_ANY), outside);
            case AE_SEVERE -> answer.told(severe, outside);
            case DEVICE_MODE -> Objects.requireNonNullElse(row.get(CANDIDATE.DEVICE_MODE), Missing.NOT_RECORDED);
            case BLADE_GEOMETRY -> Objects.requireNonNullElse(row.get(CANDIDATE.BLADE_GEOMETRY), Missing.NOT_RECORDED);
        };
    }
}
