package airway.registry.encounter;

import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.encounter.Tables.COURSE;
import static airway.sql.generated.encounter.Tables.DRUG;
import static airway.sql.generated.encounter.Tables.EVENT;
import static airway.sql.generated.encounter.Tables.VERSION;
import static org.jooq.impl.DSL.field;
import static org.jooq.impl.DSL.inline;
import static org.jooq.impl.DSL.name;

import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.UUID;
import org.jooq.Condition;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.RowN;
import org.jooq.Select;
import org.jooq.SelectField;
import org.jooq.Table;
import org.jooq.impl.DSL;

/**
 * Every question that was asked of the records that count, one row each, and what came of it.
 *
 * <p>Asked is what the condition of the dictionary does not rule out. Blank and "not known" are told apart; both are no
 * known answer.
 */
public final class AskedTable {
    public static final Field<UUID> ENCOUNTER_ID = field(name("asked", "encounter_id"), UUID.class);
    public static final Field<LocalDate> MONTH = field(name("asked", "month"), LocalDate.class);
    public static final Field<OffsetDateTime> STARTED_AT = field(name("asked", "started_at"), OffsetDateTime.class);
    /** Name of the variable in the dictionary. */
    public static final Field<String> VARIABLE = field(name("asked", "variable"), String.class);
    /** The attempt it is about, null where it is about none. */
    public static final Field<Short> ATTEMPT_NO = field(name("asked", "attempt_no"), Short.class);
    /** Nothing was answered, not even "not known". */
    public static final Field<Boolean> BLANK = field(name("asked", "blank"), Boolean.class);
    /** Answered, and not with "not known". */
    public static final Field<Boolean> KNOWN = field(name("asked", "known"), Boolean.class);

    private AskedTable() {}

    /**
     * The questions of some layers.
     *
     * @param facts which records, as a condition on the fact rows
     */
    public static Table<?> of(Condition facts, Set<Layer> layers) {
        List<Select<Record>> parts = new ArrayList<>();
        for (LevelSql level : LevelSql.ALL) {
            List<Variable> variables = level.variables(layers);
            if (!variables.isEmpty()) {
                parts.add(questions(level, variables, facts));
            }
        }
        if (layers.contains(Layer.FIRST)) {
            parts.add(absent("event_type", LevelSql.of(Level.ENCOUNTER), facts, noEvents()));
        }
        if (layers.contains(Layer.DETAIL)) {
            parts.add(absent("drug_agent", LevelSql.of(Level.COURSE), facts, noDrugs()));
        }
        return parts.stream().reduce(Select::unionAll).orElseThrow().asTable("asked");
    }

    /** Some question of these layers is open in the record of a fact row. */
    static Condition open(Set<Layer> layers) {
        List<Condition> open = new ArrayList<>();
        for (LevelSql level : LevelSql.ALL) {
            Condition question = level.open(layers);
            if (level.level() == Level.ENCOUNTER && layers.contains(Layer.FIRST)) {
                question = question.or(noEvents());
            }
            if (level.level() == Level.COURSE && layers.contains(Layer.DETAIL)) {
                question = question.or(noDrugs());
            }
            if (!level.variables(layers).isEmpty()) {
                open.add(DSL.exists(DSL.selectOne()
                        .from(level.rows())
                        .where(level.of(FACT.SITE_ID, FACT.ENCOUNTER_ID, FACT.VERSION), question)));
            }
        }
        return DSL.or(open);
    }

    private static Select<Record> questions(LevelSql level, List<Variable> variables, Condition facts) {
        List<RowN> rows = variables.stream()
                .map(variable -> DSL.row(List.<Field<?>>of(
                        inline(variable.name()),
                        field(level.asked(variable)),
                        field(level.blank(variable)),
                        DSL.coalesce(field(level.known(variable)), inline(false)))))
                .toList();
        Table<?> question = DSL.lateral(DSL.values(rows.toArray(RowN[]::new)))
                .as("question", "variable", "asked", "blank", "known");
        return DSL.select(List.<SelectField<?>>of(
                        FACT.ENCOUNTER_ID,
                        FACT.MONTH,
                        FACT.STARTED_AT,
                        field(name("question", "variable"), String.class),
                        level.attemptNo().as("attempt_no"),
                        field(name("question", "blank"), Boolean.class),
                        field(name("question", "known"), Boolean.class)))
                .from(FACT)
                .join(level.rows())
                .on(level.of(FACT.SITE_ID, FACT.ENCOUNTER_ID, FACT.VERSION))
                .crossJoin(question)
                .where(facts, DSL.condition(field(name("question", "asked"), Boolean.class)));
    }

    private static Select<Record> absent(String variable, LevelSql level, Condition facts, Condition without) {
        return DSL.select(List.<SelectField<?>>of(
                        FACT.ENCOUNTER_ID,
                        FACT.MONTH,
                        FACT.STARTED_AT,
                        inline(variable).as("variable"),
                        level.attemptNo().as("attempt_no"),
                        inline(true).as("blank"),
                        inline(false).as("known")))
                .from(FACT)
                .join(level.rows())
                .on(level.of(FACT.SITE_ID, FACT.ENCOUNTER_ID, FACT.VERSION))
                .where(facts, without);
    }

    /** Something happened, but it is not said what. */
    private static Condition noEvents() {
        return VERSION.ADVERSE_EVENT_ANY
                .eq("yes")
                .andNotExists(DSL.selectOne()
                        .from(EVENT)
                        .where(
                                EVENT.SITE_ID.eq(VERSION.SITE_ID),
                                EVENT.ENCOUNTER_ID.eq(VERSION.ENCOUNTER_ID),
                                EVENT.VERSION.eq(VERSION.VERSION_)));
    }

    /** A course without a drug: that none was given would be a row. */
    private static Condition noDrugs() {
        return DSL.notExists(DSL.selectOne()
                .from(DRUG)
                .where(
                        DRUG.SITE_ID.eq(COURSE.SITE_ID),
                        DRUG.ENCOUNTER_ID.eq(COURSE.ENCOUNTER_ID),
                        DRUG.VERSION.eq(COURSE.VERSION),
                        DRUG.COURSE_NO.eq(COURSE.COURSE_NO)));
    }
}
