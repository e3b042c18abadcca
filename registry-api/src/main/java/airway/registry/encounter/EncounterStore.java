package airway.registry.encounter;

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
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Table;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Writes versions of records. A version is a whole tree, inserted once; nothing here changes or deletes one. */
final class EncounterStore {
    private final DSLContext dsl;
    private final Site site;

    EncounterStore(DSLContext dsl, Site site) {
        this.dsl = dsl;
        this.site = site;
    }

    /** Adds a new record as version 1, and its fact row. */
    void insert(UUID id, Instant recordedAt, Encounter encounter, @Nullable String sourceRow) {
        dsl.insertInto(ENCOUNTER_)
                .set(ENCOUNTER_.SITE_ID, site.no())
                .set(ENCOUNTER_.ENCOUNTER_ID, id)
                .set(ENCOUNTER_.CURRENT_VERSION, 1)
                .execute();
        Map<Field<?>, Object> key = Map.of(VERSION.SITE_ID, site.no(), VERSION.ENCOUNTER_ID, id, VERSION.VERSION_, 1);
        Map<Field<?>, Object> head = new LinkedHashMap<>(key);
        head.put(VERSION.STATUS, "final");
        head.put(VERSION.RECORDED_AT, recordedAt.atOffset(ZoneOffset.UTC));
        head.put(VERSION.DICTIONARY_VERSION, Dictionary.current().version());
        head.put(VERSION.CONFIRMED, encounter.confirmed().toArray(String[]::new));
        if (sourceRow != null) {
            head.put(VERSION.SOURCE_ROW, sourceRow);
        }
        insert(VERSION, head, encounter.answers());
        insert(PATIENT, key, encounter.patient());
        int attemptNo = 0;
        for (int c = 0; c < encounter.courses().size(); c++) {
            Course course = encounter.courses().get(c);
            insert(COURSE, with(key, COURSE.COURSE_NO, c + 1), course.answers());
            Map<Field<?>, Object> inCourse = with(key, DRUG.COURSE_NO, c + 1);
            for (int d = 0; d < course.drugs().size(); d++) {
                insert(DRUG, with(inCourse, DRUG.DRUG_NO, d + 1), course.drugs().get(d));
            }
            for (Answers attempt : course.attempts()) {
                attemptNo++;
                insert(ATTEMPT, with(inCourse, ATTEMPT.ATTEMPT_NO, attemptNo), attempt);
            }
        }
        for (int e = 0; e < encounter.events().size(); e++) {
            insert(EVENT, with(key, EVENT.EVENT_NO, e + 1), encounter.events().get(e));
        }
        dsl.execute("select analysis.write_fact({0}, {1})", DSL.val(site.no()), DSL.val(id));
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

    /** Columns carry the names of the variables, so one statement serves every level. */
    private void insert(Table<?> table, Map<Field<?>, Object> key, Answers answers) {
        Map<Field<?>, Object> row = new LinkedHashMap<>();
        key.forEach((field, value) -> row.put(column(table, field.getName()), value));
        answers.values().forEach((name, value) -> row.put(column(table, name), stored(value)));
        row.put(column(table, "unknown"), answers.unknown().toArray(String[]::new));
        dsl.insertInto(table).set(row).execute();
    }

    private static Field<?> column(Table<?> table, String name) {
        return Objects.requireNonNull(table.field(name), () -> table.getName() + " has no column " + name);
    }

    private static Object stored(Object value) {
        if (value instanceof List<?> list) {
            return list.stream().map(Object::toString).toArray(String[]::new);
        }
        return value instanceof Instant instant ? instant.atOffset(ZoneOffset.UTC) : value;
    }

    private static Map<Field<?>, Object> with(Map<Field<?>, Object> key, Field<?> field, Object value) {
        Map<Field<?>, Object> more = new LinkedHashMap<>(key);
        more.put(field, value);
        return more;
    }
}
