package airway.registry.encounter;

import static airway.sql.generated.encounter.Tables.ATTEMPT;
import static airway.sql.generated.encounter.Tables.COURSE;
import static airway.sql.generated.encounter.Tables.DRAFT;
import static airway.sql.generated.encounter.Tables.DRUG;
import static airway.sql.generated.encounter.Tables.ENCOUNTER_;
import static airway.sql.generated.encounter.Tables.EVENT;
import static airway.sql.generated.encounter.Tables.PATIENT;
import static airway.sql.generated.encounter.Tables.REQUEST;
import static airway.sql.generated.encounter.Tables.VERSION;

import airway.registry.access.Site;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Variable;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.UUID;
import org.jooq.BatchBindStep;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Table;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Writes versions of records. A version is a whole tree, inserted once; nothing here changes or deletes one. */
final class EncounterStore {
    private final DSLContext dsl;
    private final Site site;

    /** Rows by table, in an order that foreign keys allow. */
    private final Map<Table<?>, List<Map<Field<?>, @Nullable Object>>> rows = new LinkedHashMap<>();

    EncounterStore(DSLContext dsl, Site site) {
        this.dsl = dsl;
        this.site = site;
    }

    /**
     * A version of a record to be kept.
     *
     * @param recordedAt when the record was first made final
     * @param reason why it was made; null for the first
     */
    record Version(
            UUID id,
            int number,
            String status,
            Instant recordedAt,
            Encounter encounter,
            @Nullable String sourceRow,
            @Nullable Reason reason) {
        static Version first(Instant recordedAt, Encounter encounter, @Nullable String sourceRow) {
            return new Version(UUID.randomUUID(), 1, "final", recordedAt, encounter, sourceRow, null);
        }
    }

    /** Adds new records, and their fact rows: table by table, so that many cost little more than one. */
    void insert(List<Version> records) {
        for (Version record : records) {
            row(ENCOUNTER_, ENCOUNTER_.SITE_ID, site.no(), ENCOUNTER_.ENCOUNTER_ID, record.id())
                    .put(ENCOUNTER_.CURRENT_VERSION, record.number());
            collect(record);
        }
        write(records);
    }

    /** Adds the next version of a record, which then is the one that counts; the earlier ones stay as they are. */
    void append(Version next) {
        collect(next);
        dsl.update(ENCOUNTER_)
                .set(ENCOUNTER_.CURRENT_VERSION, next.number())
                .where(ENCOUNTER_.SITE_ID.eq(site.no()), ENCOUNTER_.ENCOUNTER_ID.eq(next.id()))
                .execute();
        write(List.of(next));
    }

    private void write(List<Version> versions) {
        rows.forEach(this::insert);
        rows.clear();
        UUID[] ids = versions.stream().map(Version::id).toArray(UUID[]::new);
        dsl.execute("select analysis.write_fact({0}, id) from unnest({1}) id", DSL.val(site.no()), DSL.val(ids));
    }

    private void collect(Version record) {
        Encounter encounter = record.encounter();
        Map<Field<?>, @Nullable Object> head = row(VERSION, record, encounter.answers());
        head.put(VERSION.STATUS, record.status());
        head.put(VERSION.RECORDED_AT, record.recordedAt().atOffset(ZoneOffset.UTC));
        head.put(VERSION.DICTIONARY_VERSION, Dictionary.current().version());
        head.put(VERSION.CONFIRMED, encounter.confirmed().toArray(String[]::new));
        head.put(VERSION.SOURCE_ROW, record.sourceRow());
        Reason reason = record.reason();
        head.put(VERSION.REASON_CODE, reason == null ? null : reason.code().value());
        head.put(VERSION.REASON_TEXT, reason == null ? null : reason.text());
        row(PATIENT, record, encounter.patient());
        int attemptNo = 0;
        for (int c = 0; c < encounter.courses().size(); c++) {
            Course course = encounter.courses().get(c);
            row(COURSE, record, course.answers()).put(COURSE.COURSE_NO, c + 1);
            for (int d = 0; d < course.drugs().size(); d++) {
                Map<Field<?>, @Nullable Object> drug =
                        row(DRUG, record, course.drugs().get(d));
                drug.put(DRUG.COURSE_NO, c + 1);
                drug.put(DRUG.DRUG_NO, d + 1);
            }
            for (Answers answers : course.attempts()) {
                attemptNo++;
                Map<Field<?>, @Nullable Object> attempt = row(ATTEMPT, record, answers);
                attempt.put(ATTEMPT.COURSE_NO, c + 1);
                attempt.put(ATTEMPT.ATTEMPT_NO, attemptNo);
            }
        }
        for (int e = 0; e < encounter.events().size(); e++) {
            row(EVENT, record, encounter.events().get(e)).put(EVENT.EVENT_NO, e + 1);
        }
    }

    /** Remembers which record answered a request. */
    void remember(String route, IdempotencyKey key, String fingerprint, UUID id, int version) {
        dsl.insertInto(REQUEST)
                .set(REQUEST.SITE_ID, site.no())
                .set(REQUEST.ROUTE, route)
                .set(REQUEST.KEY, key.value())
                .set(REQUEST.FINGERPRINT, fingerprint)
                .set(REQUEST.ENCOUNTER_ID, id)
                .set(REQUEST.VERSION, version)
                .execute();
    }

    /** A record saved under the key of a draft ends the draft. */
    void endDraft(IdempotencyKey key) {
        key.uuid()
                .ifPresent(id -> dsl.deleteFrom(DRAFT)
                        .where(DRAFT.SITE_ID.eq(site.no()), DRAFT.DRAFT_ID.eq(id))
                        .execute());
    }

    /**
     * A row of one level, with its place in the tree still to be told. Columns carry the names of the variables, and
     * every row of a table has all of them: so one prepared statement serves all rows.
     */
    private Map<Field<?>, @Nullable Object> row(Table<?> table, Version record, Answers answers) {
        Map<Field<?>, @Nullable Object> row =
                row(table, column(table, "site_id"), site.no(), column(table, "encounter_id"), record.id());
        row.put(column(table, "version"), record.number());
        for (Variable variable : Dictionary.current().variables(answers.level())) {
            Field<?> column = table.field(variable.name());
            if (column != null && variable.layer() != Layer.SYSTEM) {
                row.put(column, stored(answers.value(variable.name()).orElse(null)));
            }
        }
        row.put(column(table, "unknown"), answers.unknown().toArray(String[]::new));
        return row;
    }

    private Map<Field<?>, @Nullable Object> row(
            Table<?> table, Field<?> one, Object first, Field<?> two, Object second) {
        Map<Field<?>, @Nullable Object> row = new LinkedHashMap<>();
        row.put(one, first);
        row.put(two, second);
        rows.computeIfAbsent(table, t -> new ArrayList<>()).add(row);
        return row;
    }

    private void insert(Table<?> table, List<Map<Field<?>, @Nullable Object>> rowsOfTable) {
        Set<Field<?>> columns = rowsOfTable.get(0).keySet();
        BatchBindStep batch =
                dsl.batch(dsl.insertInto(table).columns(columns).values(Collections.nCopies(columns.size(), null)));
        for (Map<Field<?>, @Nullable Object> row : rowsOfTable) {
            batch = batch.bind(row.values().toArray());
        }
        batch.execute();
    }

    private static Field<?> column(Table<?> table, String name) {
        return Objects.requireNonNull(table.field(name), () -> table.getName() + " has no column " + name);
    }

    private static @Nullable Object stored(@Nullable Object value) {
        if (value instanceof List<?> list) {
            return list.stream().map(Object::toString).toArray(String[]::new);
        }
        return value instanceof Instant instant ? instant.atOffset(ZoneOffset.UTC) : value;
    }
}
