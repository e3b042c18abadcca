package airway.registry.encounter;

import static airway.sql.generated.analysis.Tables.FACT;
import static airway.sql.generated.encounter.Tables.ATTEMPT;
import static airway.sql.generated.encounter.Tables.VERSION;
import static org.jooq.impl.DSL.field;
import static org.jooq.impl.DSL.name;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.UUID;
import org.jooq.Condition;
import org.jooq.Field;
import org.jooq.Table;
import org.jooq.impl.DSL;

/**
 * Every answer of the records that count that was asked about and confirmed, one row each; those outside their usual range
 * apart, which are in {@link UnlikelyTable}.
 */
public final class ConfirmedTable {
    public static final Field<UUID> ENCOUNTER_ID = field(name("confirmed", "encounter_id"), UUID.class);
    public static final Field<LocalDate> MONTH = field(name("confirmed", "month"), LocalDate.class);
    public static final Field<OffsetDateTime> STARTED_AT = field(name("confirmed", "started_at"), OffsetDateTime.class);
    /** Name of the variable in the dictionary. */
    public static final Field<String> VARIABLE = field(name("confirmed", "variable"), String.class);
    /** The attempt it is about, null where it is about none. */
    public static final Field<Short> ATTEMPT_NO = field(name("confirmed", "attempt_no"), Short.class);

    private ConfirmedTable() {}

    /**
     * The confirmed answers.
     *
     * @param facts which records, as a condition on the fact rows
     */
    public static Table<?> of(Condition facts) {
        Field<String> pointer = field(name("asked", "pointer"), String.class);
        Field<Short> attemptNo =
                DSL.field("""
                (select a.attempt_no from {0} a
                 where (a.site_id, a.encounter_id, a.version) = ({1}, {2}, {3})
                   and a.course_no = split_part({4}, '/', 3)::integer + 1
                 order by a.attempt_no offset split_part({4}, '/', 5)::integer limit 1)""", Short.class, ATTEMPT, FACT.SITE_ID, FACT.ENCOUNTER_ID, FACT.VERSION, pointer);
        return DSL.select(
                        FACT.ENCOUNTER_ID,
                        FACT.MONTH,
                        FACT.STARTED_AT,
                        DSL.field("substring({0} from '[^/]*$')", String.class, pointer)
                                .as("variable"),
                        DSL.when(pointer.like(DSL.inline("/courses/%/attempts/%")), attemptNo)
                                .as("attempt_no"))
                .from(FACT)
                .join(VERSION)
                .on(
                        VERSION.SITE_ID.eq(FACT.SITE_ID),
                        VERSION.ENCOUNTER_ID.eq(FACT.ENCOUNTER_ID),
                        VERSION.VERSION_.eq(FACT.VERSION))
                .crossJoin(DSL.lateral(DSL.selectDistinct(DSL.field("unnest({0})", String.class, VERSION.CONFIRMED)
                                .as("pointer")))
                        .as("asked"))
                .where(
                        facts,
                        DSL.row(FACT.ENCOUNTER_ID, pointer)
                                .notIn(DSL.select(UnlikelyTable.ENCOUNTER_ID, UnlikelyTable.POINTER)
                                        .from(UnlikelyTable.of(facts))))
                .asTable("confirmed");
    }
}
