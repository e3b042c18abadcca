package airway.registry.encounter;

import static airway.sql.generated.analysis.Tables.DERIVE;
import static airway.sql.generated.encounter.Tables.ATTEMPT;
import static airway.sql.generated.encounter.Tables.COURSE;
import static airway.sql.generated.encounter.Tables.DRUG;
import static airway.sql.generated.encounter.Tables.ENCOUNTER_;
import static airway.sql.generated.encounter.Tables.EVENT;
import static airway.sql.generated.encounter.Tables.PATIENT;
import static airway.sql.generated.encounter.Tables.REQUEST;
import static airway.sql.generated.encounter.Tables.VERSION;

import airway.registry.access.Site;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import java.math.BigDecimal;
import java.time.OffsetDateTime;
import java.util.Arrays;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.UUID;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.Table;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Reads versions of records, and which request was answered by which. */
final class EncounterQuery {
    private final DSLContext dsl;

    EncounterQuery(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** An earlier request with this key. */
    record Answered(String fingerprint, short siteId, UUID id, int version) {}

    Optional<Answered> answered(String route, IdempotencyKey key) {
        return dsl.selectFrom(REQUEST)
                .where(REQUEST.ROUTE.eq(route), REQUEST.KEY.eq(key.value()))
                .fetchOptional(row -> new Answered(
                        row.get(REQUEST.FINGERPRINT),
                        row.get(REQUEST.SITE_ID),
                        row.get(REQUEST.ENCOUNTER_ID),
                        row.get(REQUEST.VERSION)));
    }

    private static Condition ofTheVersionThatCounts() {
        return ENCOUNTER_
                .SITE_ID
                .eq(ATTEMPT.SITE_ID)
                .and(ENCOUNTER_.ENCOUNTER_ID.eq(ATTEMPT.ENCOUNTER_ID))
                .and(ENCOUNTER_.CURRENT_VERSION.eq(ATTEMPT.VERSION));
    }

    /** The labels of items in the version of a record that counts. */
    List<String> labels(UUID id) {
        return dsl
                .select(ATTEMPT.KIT_LABELS)
                .from(ATTEMPT)
                .join(ENCOUNTER_)
                .on(ofTheVersionThatCounts())
                .where(ENCOUNTER_.ENCOUNTER_ID.eq(id), ATTEMPT.KIT_LABELS.isNotNull())
                .fetch(row -> List.of(row.value1()))
                .stream()
                .flatMap(List::stream)
                .toList();
    }

    /** Takes the key for this transaction; false when another one holds it. */
    boolean take(String route, IdempotencyKey key) {
        return dsl.select(DSL.field(
                        "pg_try_advisory_xact_lock(hashtextextended({0}, 0))",
                        Boolean.class, DSL.val(route + " " + key.value())))
                .fetchSingle()
                .value1();
    }

    int count(Site site) {
        return dsl.fetchCount(ENCOUNTER_, ENCOUNTER_.SITE_ID.eq(site.no()));
    }

    /** Those of the rows that a record was made from before. */
    Set<String> fromSource(Site site, Collection<String> sourceRows) {
        return dsl.select(VERSION.SOURCE_ROW)
                .from(VERSION)
                .where(VERSION.SITE_ID.eq(site.no()), VERSION.SOURCE_ROW.in(sourceRows), VERSION.VERSION_.eq(1))
                .fetchSet(VERSION.SOURCE_ROW);
    }

    /** The records made from rows of a source, in the order of the rows. */
    List<UUID> idsFromSource(Site site, Collection<String> sourceRows) {
        return dsl.select(VERSION.ENCOUNTER_ID)
                .from(VERSION)
                .where(VERSION.SITE_ID.eq(site.no()), VERSION.SOURCE_ROW.in(sourceRows), VERSION.VERSION_.eq(1))
                .orderBy(VERSION.SOURCE_ROW)
                .fetch(VERSION.ENCOUNTER_ID);
    }

    /** The unit and current version of a record. */
    record Current(short siteId, int version) {}

    Optional<Current> current(UUID id) {
        return dsl.selectFrom(ENCOUNTER_)
                .where(ENCOUNTER_.ENCOUNTER_ID.eq(id))
                .fetchOptional(row -> new Current(row.get(ENCOUNTER_.SITE_ID), row.get(ENCOUNTER_.CURRENT_VERSION)));
    }

    /** The same, and nobody else changes the record before this transaction ends. */
    Optional<Current> hold(UUID id) {
        return dsl.selectFrom(ENCOUNTER_)
                .where(ENCOUNTER_.ENCOUNTER_ID.eq(id))
                .forNoKeyUpdate()
                .fetchOptional(row -> new Current(row.get(ENCOUNTER_.SITE_ID), row.get(ENCOUNTER_.CURRENT_VERSION)));
    }

    List<VersionLine> versions(UUID id) {
        return dsl.selectFrom(VERSION)
                .where(VERSION.ENCOUNTER_ID.eq(id))
                .orderBy(VERSION.VERSION_)
                .fetch(row -> new VersionLine(
                        row.get(VERSION.VERSION_),
                        row.get(VERSION.STATUS),
                        row.get(VERSION.WRITTEN_AT).toInstant(),
                        reason(row)));
    }

    private static @Nullable Reason reason(Record row) {
        String code = row.get(VERSION.REASON_CODE);
        return code == null
                ? null
                : new Reason(Reason.Code.of(code).orElse(Reason.Code.OTHER), row.get(VERSION.REASON_TEXT));
    }

    Recorded load(Site site, UUID id, int version, Map<String, DeviceSetup> setups) {
        Record head = rows(VERSION, site, id, version).get(0);
        List<Record> drugs = rows(DRUG, site, id, version);
        List<Record> attempts = rows(ATTEMPT, site, id, version);
        List<Course> courses = rows(COURSE, site, id, version).stream()
                .map(course -> new Course(
                        answers(Level.COURSE, course),
                        drugs.stream()
                                .filter(drug -> drug.get(DRUG.COURSE_NO).equals(course.get(COURSE.COURSE_NO)))
                                .map(drug -> answers(Level.DRUG, drug))
                                .toList(),
                        attempts.stream()
                                .filter(attempt ->
                                        attempt.get(ATTEMPT.COURSE_NO).equals(course.get(COURSE.COURSE_NO)))
                                .map(attempt -> answers(Level.ATTEMPT, attempt))
                                .toList()))
                .toList();
        Encounter encounter = new Encounter(
                answers(Level.ENCOUNTER, head),
                answers(Level.PATIENT, rows(PATIENT, site, id, version).get(0)),
                courses,
                rows(EVENT, site, id, version).stream()
                        .map(event -> answers(Level.EVENT, event))
                        .toList(),
                Arrays.asList(head.get(VERSION.CONFIRMED)));
        return new Recorded(
                id,
                version,
                head.get(VERSION.STATUS),
                head.get(VERSION.RECORDED_AT).toInstant(),
                head.get(VERSION.DICTIONARY_VERSION),
                reason(head),
                site,
                encounter,
                Incomplete.pointers(encounter, setups, Set.of(Layer.FIRST, Layer.DETAIL)),
                derived(site, id, version),
                setups);
    }

    /** Earlier uses of each set-up by the one who acts, from the records that person made. */
    Map<String, EarlierUses> earlierUses(Site site) {
        var first = VERSION.as("first");
        Map<String, EarlierUses> uses = new HashMap<>();
        dsl.select(ATTEMPT.DEVICE_SETUP_ID, ATTEMPT.OPERATOR_SETUP_USES)
                .from(ATTEMPT)
                .join(ENCOUNTER_)
                .on(ofTheVersionThatCounts())
                .join(VERSION)
                .on(
                        VERSION.SITE_ID.eq(ATTEMPT.SITE_ID),
                        VERSION.ENCOUNTER_ID.eq(ATTEMPT.ENCOUNTER_ID),
                        VERSION.VERSION_.eq(ATTEMPT.VERSION),
                        VERSION.STATUS.ne("entered-in-error"))
                .join(first)
                .on(
                        first.SITE_ID.eq(ATTEMPT.SITE_ID),
                        first.ENCOUNTER_ID.eq(ATTEMPT.ENCOUNTER_ID),
                        first.VERSION_.eq(1),
                        first.RECORDED_BY.eq(DSL.field("access.current_actor()", Integer.class)))
                .where(
                        ATTEMPT.SITE_ID.eq(site.no()),
                        ATTEMPT.OPERATOR_IS_RECORDER.eq("yes"),
                        ATTEMPT.DEVICE_SETUP_ID.isNotNull())
                .orderBy(VERSION.ENCOUNTER_START, ATTEMPT.ATTEMPT_NO)
                .forEach(row -> uses.merge(
                        row.value1(),
                        EarlierUses.UNTOLD.after(row.value2()),
                        (before, untold) -> before.after(row.value2())));
        return uses;
    }

    /** Whether the one who asks wrote the first version of a record. */
    boolean recordedByActor(Site site, UUID id) {
        return dsl.fetchExists(
                VERSION,
                VERSION.SITE_ID.eq(site.no()),
                VERSION.ENCOUNTER_ID.eq(id),
                VERSION.VERSION_.eq(1),
                VERSION.RECORDED_BY.eq(DSL.field("access.current_actor()", Integer.class)));
    }

    private List<Record> rows(Table<?> table, Site site, UUID id, int version) {
        Field<Short> siteId = Objects.requireNonNull(table.field(VERSION.SITE_ID.getName(), Short.class));
        Field<UUID> encounterId = Objects.requireNonNull(table.field(VERSION.ENCOUNTER_ID.getName(), UUID.class));
        Field<Integer> versionNo = Objects.requireNonNull(table.field(VERSION.VERSION_.getName(), Integer.class));
        return List.copyOf(dsl.selectFrom(table)
                .where(siteId.eq(site.no()), encounterId.eq(id), versionNo.eq(version))
                .orderBy(Objects.requireNonNull(table.getPrimaryKey()).getFields())
                .fetch());
    }

    private Derived derived(Site site, UUID id, int version) {
        var answer = DERIVE.call(site.no(), id, version);
        return dsl.selectFrom(answer)
                .fetchSingle(row -> new Derived(
                        Derived.Outside.of(row.get(answer.OUTSIDE)),
                        Derived.Verdict.of(row.get(answer.FPS)),
                        Derived.Verdict.of(row.get(answer.FPS_STRICT)),
                        Derived.Verdict.of(row.get(answer.FPS_CLEAN)),
                        integer(row.get(answer.TRACHEAL_ATTEMPTS)),
                        integer(row.get(answer.SPO2_LOWEST)),
                        row.get(answer.AGE_BAND),
                        Derived.Verdict.of(row.get(answer.AE_SEVERE_C))));
    }

    private static @Nullable Integer integer(@Nullable Short value) {
        return value == null ? null : Integer.valueOf(value);
    }

    /** The answers in a row: whatever variable of the level the table has a column for. */
    static Answers answers(Level level, Record row) {
        Map<String, Object> values = new LinkedHashMap<>();
        for (Variable variable : Dictionary.current().variables(level)) {
            Field<?> column = row.field(variable.name());
            Object value = column == null || variable.layer() == Layer.SYSTEM ? null : row.get(column);
            if (value != null) {
                values.put(variable.name(), answer(value));
            }
        }
        String[] unknown = row.field("unknown") == null ? new String[0] : row.get("unknown", String[].class);
        return new Answers(level, values, new TreeSet<>(List.of(unknown)));
    }

    private static Object answer(Object value) {
        if (value instanceof Short number) {
            return Integer.valueOf(number);
        }
        if (value instanceof BigDecimal number) {
            BigDecimal shortest = number.stripTrailingZeros();
            return shortest.scale() < 0 ? shortest.setScale(0) : shortest;
        }
        if (value instanceof OffsetDateTime instant) {
            return instant.toInstant();
        }
        return value instanceof String[] codes ? List.of(codes) : value;
    }
}
