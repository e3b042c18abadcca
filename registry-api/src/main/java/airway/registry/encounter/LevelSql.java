package airway.registry.encounter;

import static airway.sql.generated.encounter.Tables.ATTEMPT;
import static airway.sql.generated.encounter.Tables.COURSE;
import static airway.sql.generated.encounter.Tables.DEVICE_SETUP;
import static airway.sql.generated.encounter.Tables.DRUG;
import static airway.sql.generated.encounter.Tables.EVENT;
import static airway.sql.generated.encounter.Tables.PATIENT;
import static airway.sql.generated.encounter.Tables.VERSION;

import airway.registry.dictionary.Condition.Term;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.UUID;
import java.util.stream.Stream;
import org.jooq.Condition;
import org.jooq.Field;
import org.jooq.Table;
import org.jooq.TableField;
import org.jooq.impl.DSL;

/**
 * The questions of one level of the record as SQL: which were asked of a row, and what came of them. The conditions of
 * the dictionary are put into SQL as they stand: what cannot be told there is null here, and the question counts as
 * asked.
 */
record LevelSql(Level level, Table<?> own) {
    /** The levels that hang on a version of a record. */
    static final List<LevelSql> ALL = List.of(
            new LevelSql(Level.ENCOUNTER, VERSION),
            new LevelSql(Level.PATIENT, PATIENT),
            new LevelSql(Level.COURSE, COURSE),
            new LevelSql(Level.DRUG, DRUG),
            new LevelSql(Level.ATTEMPT, ATTEMPT),
            new LevelSql(Level.EVENT, EVENT));

    private static final String UNKNOWN = "unk";

    static LevelSql of(Level level) {
        return ALL.stream().filter(one -> one.level == level).findFirst().orElseThrow();
    }

    /** The rows of the level, joined with what their conditions look at. */
    Table<?> rows() {
        if (level == Level.ENCOUNTER) {
            return own;
        }
        Table<?> joined = own.join(VERSION)
                .on(
                        VERSION.SITE_ID.eq(column(VERSION.SITE_ID)),
                        VERSION.ENCOUNTER_ID.eq(column(VERSION.ENCOUNTER_ID)),
                        VERSION.VERSION_.eq(column(VERSION.VERSION_)));
        return level == Level.ATTEMPT
                ? joined.leftJoin(DEVICE_SETUP)
                        .on(
                                DEVICE_SETUP.SITE_ID.eq(ATTEMPT.SITE_ID),
                                DEVICE_SETUP.DEVICE_SETUP_ID.eq(ATTEMPT.DEVICE_SETUP_ID))
                : joined;
    }

    /** The rows of one version of a record. */
    Condition of(Field<Short> siteId, Field<UUID> encounterId, Field<Integer> version) {
        return column(VERSION.SITE_ID)
                .eq(siteId)
                .and(column(VERSION.ENCOUNTER_ID).eq(encounterId))
                .and(column(VERSION.VERSION_).eq(version));
    }

    /** The variables of some layers that have a column. */
    List<Variable> variables(Set<Layer> layers) {
        return variables().filter(variable -> layers.contains(variable.layer())).toList();
    }

    /** The numbers for which there is a usual range. */
    List<Variable> limited() {
        return variables()
                .filter(variable -> variable.layer() != Layer.SYSTEM)
                .filter(variable ->
                        variable.soft().minimum() != null || variable.soft().maximum() != null)
                .toList();
    }

    private Stream<Variable> variables() {
        return Dictionary.current().variables(level).stream().filter(variable -> own.field(variable.name()) != null);
    }

    /** The question was asked: its condition is not known to be false. */
    Condition asked(Variable variable) {
        return variable.when().term() instanceof Term.Always
                ? DSL.trueCondition()
                : DSL.condition(
                        "({0}) is not false", DSL.field(sql(variable.when().term())));
    }

    /** Neither an answer nor "not known". */
    Condition blank(Variable variable) {
        Field<?> unknown = own.field("unknown");
        Condition without = answer(variable.name()).isNull();
        return unknown == null
                ? without
                : without.and(DSL.condition("{0} <> all ({1})", DSL.inline(variable.name()), unknown));
    }

    /** An answer other than "not known". */
    Condition known(Variable variable) {
        Field<?> answer = answer(variable.name());
        if (variable.code(UNKNOWN).isEmpty()) {
            return answer.isNotNull();
        }
        return variable.type() == Variable.Type.LIST
                ? DSL.condition("{0} <> array['unk']", answer)
                : DSL.condition("{0} <> 'unk'", answer);
    }

    /** A question of these layers is open. */
    Condition open(Set<Layer> layers) {
        return DSL.or(variables(layers).stream()
                .map(variable -> asked(variable).and(blank(variable)))
                .toList());
    }

    private Condition sql(Term term) {
        if (term instanceof Term.Not not) {
            return DSL.condition("not ({0})", DSL.field(sql(not.inner())));
        } else if (term instanceof Term.Contains contains) {
            return DSL.condition("{0} = any ({1})", DSL.inline(contains.code()), answer(contains.variable()));
        } else if (term instanceof Term.AnyMissing missing) {
            Field<?> answer = Objects.requireNonNull(ATTEMPT.field(missing.variable()));
            return DSL.exists(DSL.selectOne()
                    .from(ATTEMPT)
                    .where(
                            ATTEMPT.SITE_ID.eq(column(VERSION.SITE_ID)),
                            ATTEMPT.ENCOUNTER_ID.eq(column(VERSION.ENCOUNTER_ID)),
                            ATTEMPT.VERSION.eq(column(VERSION.VERSION_)),
                            answer.isNull()));
        } else if (term instanceof Term.Present present) {
            return answer(present.variable()).isNotNull();
        } else if (term instanceof Term.OneOf oneOf) {
            return answer(oneOf.variable())
                    .cast(String.class)
                    .in(oneOf.codes().stream().map(DSL::inline).toList());
        } else if (term instanceof Term.Compare compare) {
            return DSL.condition(
                    "{0} " + compare.operator() + " {1}", answer(compare.variable()), DSL.inline(compare.bound()));
        }
        return DSL.trueCondition();
    }

    /** The answer a name means in this level: its own, that of the set-up, or that of the encounter. */
    Field<?> answer(String variable) {
        return Stream.of(own, DEVICE_SETUP, VERSION)
                .filter(table -> table != DEVICE_SETUP || level == Level.ATTEMPT)
                .map(table -> table.field(variable))
                .filter(Objects::nonNull)
                .findFirst()
                .orElseThrow(() -> new IllegalStateException(level + " cannot see " + variable));
    }

    /** A column of the key, or of the places in the tree, in the table of this level. */
    <T> Field<T> column(TableField<?, T> like) {
        return Objects.requireNonNull(own.field(like.getName(), like.getType()));
    }

    /** The number of the attempt, null on other levels. */
    Field<Short> attemptNo() {
        return level == Level.ATTEMPT ? ATTEMPT.ATTEMPT_NO : DSL.castNull(Short.class);
    }
}
