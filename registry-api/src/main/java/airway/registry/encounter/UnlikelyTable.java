package airway.registry.encounter;

import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.encounter.Tables.ATTEMPT;
import static airway.sql.generated.encounter.Tables.COURSE;
import static airway.sql.generated.encounter.Tables.VERSION;
import static org.jooq.impl.DSL.field;
import static org.jooq.impl.DSL.inline;
import static org.jooq.impl.DSL.name;

import airway.registry.dictionary.Variable;
import java.math.BigDecimal;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.UUID;
import org.jooq.Condition;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.RowN;
import org.jooq.Select;
import org.jooq.SelectField;
import org.jooq.Table;
import org.jooq.impl.DSL;

/** Every number outside its usual range in the records that count, one row each, and whether it was confirmed. */
public final class UnlikelyTable {
    public static final Field<UUID> ENCOUNTER_ID = field(name("unlikely", "encounter_id"), UUID.class);
    public static final Field<LocalDate> MONTH = field(name("unlikely", "month"), LocalDate.class);
    public static final Field<OffsetDateTime> STARTED_AT = field(name("unlikely", "started_at"), OffsetDateTime.class);
    /** Name of the variable in the dictionary. */
    public static final Field<String> VARIABLE = field(name("unlikely", "variable"), String.class);
    /** The attempt it is about, null where it is about none. */
    public static final Field<Short> ATTEMPT_NO = field(name("unlikely", "attempt_no"), Short.class);

    /** Where the value stands in the JSON of the record. */
    static final Field<String> POINTER = field(name("unlikely", "pointer"), String.class);

    public static final Field<BigDecimal> VALUE = field(name("unlikely", "value"), BigDecimal.class);
    /** Whoever recorded it said that it is right. */
    public static final Field<Boolean> CONFIRMED = field(name("unlikely", "confirmed"), Boolean.class);

    private UnlikelyTable() {}

    /**
     * The unlikely values.
     *
     * @param facts which records, as a condition on the fact rows
     */
    public static Table<?> of(Condition facts) {
        List<Select<Record>> parts = new ArrayList<>();
        for (LevelSql level : LevelSql.ALL) {
            List<Variable> limited = level.limited();
            if (!limited.isEmpty()) {
                parts.add(values(level, limited, facts));
            }
        }
        return parts.stream().reduce(Select::unionAll).orElseThrow().asTable("unlikely");
    }

    private static Select<Record> values(LevelSql level, List<Variable> limited, Condition facts) {
        List<RowN> rows = limited.stream()
                .map(variable -> DSL.row(List.<Field<?>>of(
                        inline(variable.name()),
                        level.answer(variable.name()).cast(BigDecimal.class),
                        inline(variable.soft().minimum(), BigDecimal.class).cast(BigDecimal.class),
                        inline(variable.soft().maximum(), BigDecimal.class).cast(BigDecimal.class))))
                .toList();
        Table<?> number =
                DSL.lateral(DSL.values(rows.toArray(RowN[]::new))).as("number", "variable", "value", "low", "high");
        Field<BigDecimal> value = field(name("number", "value"), BigDecimal.class);
        Field<String> variable = field(name("number", "variable"), String.class);
        Field<String> pointer = DSL.field("{0} || '/' || {1}", String.class, place(level), variable);
        return DSL.select(List.<SelectField<?>>of(
                        FACT.ENCOUNTER_ID,
                        FACT.MONTH,
                        FACT.STARTED_AT,
                        variable,
                        level.attemptNo().as("attempt_no"),
                        pointer.as("pointer"),
                        value,
                        DSL.field("{0} = any ({1})", Boolean.class, pointer, VERSION.CONFIRMED)
                                .as("confirmed")))
                .from(FACT)
                .join(level.rows())
                .on(level.of(FACT.SITE_ID, FACT.ENCOUNTER_ID, FACT.VERSION))
                .crossJoin(number)
                .where(
                        facts,
                        value.lt(field(name("number", "low"), BigDecimal.class))
                                .or(value.gt(field(name("number", "high"), BigDecimal.class))));
    }

    /** The pointer of the object that a row of a level is. */
    private static Field<String> place(LevelSql level) {
        return switch (level.level()) {
            case ENCOUNTER -> inline("");
            case PATIENT -> inline("/patient");
            case COURSE -> field("'/courses/' || {0} - 1", String.class, COURSE.COURSE_NO);
            case ATTEMPT -> {
                var earlier = ATTEMPT.as("earlier");
                yield field(
                        "'/courses/' || {0} - 1 || '/attempts/' || ({1})",
                        String.class,
                        ATTEMPT.COURSE_NO,
                        DSL.selectCount()
                                .from(earlier)
                                .where(
                                        earlier.SITE_ID.eq(ATTEMPT.SITE_ID),
                                        earlier.ENCOUNTER_ID.eq(ATTEMPT.ENCOUNTER_ID),
                                        earlier.VERSION.eq(ATTEMPT.VERSION),
                                        earlier.COURSE_NO.eq(ATTEMPT.COURSE_NO),
                                        earlier.ATTEMPT_NO.lt(ATTEMPT.ATTEMPT_NO)));
            }
            default -> throw new IllegalStateException(level.level() + " has no numbers with usual limits");
        };
    }
}
