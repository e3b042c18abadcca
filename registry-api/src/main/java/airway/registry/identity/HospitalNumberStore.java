package airway.registry.identity;

import static airway.sql.generated.identity.Tables.HOSPITAL_NUMBER;
import static airway.sql.generated.identity.Tables.RECORD;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jooq.Record;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Rows of sealed numbers inside a running transaction, and what the audit is told about them. */
final class HospitalNumberStore {
    private final DSLContext dsl;

    HospitalNumberStore(DSLContext dsl) {
        this.dsl = dsl;
    }

    /**
     * What is known of a record here.
     *
     * @param recordedAt when the record was made
     * @param startedAt when the intubation began
     * @param precision how exactly that is known
     * @param own whether the one who asks recorded it
     */
    record Of(
            short site,
            UUID id,
            Instant recordedAt,
            Instant startedAt,
            String precision,
            boolean withdrawn,
            boolean own) {}

    /** A record, if it is one of the units of who asks. */
    Optional<Of> record(UUID id) {
        return dsl.selectFrom(RECORD).where(RECORD.ENCOUNTER_ID.eq(id)).fetchOptional(HospitalNumberStore::of);
    }

    boolean kept(short site, UUID id) {
        return dsl.fetchExists(HOSPITAL_NUMBER, HOSPITAL_NUMBER.SITE_ID.eq(site), HOSPITAL_NUMBER.ENCOUNTER_ID.eq(id));
    }

    /** What is sealed for a record. */
    Optional<byte[]> sealed(short site, UUID id) {
        return dsl.select(HOSPITAL_NUMBER.SEALED)
                .from(HOSPITAL_NUMBER)
                .where(HOSPITAL_NUMBER.SITE_ID.eq(site), HOSPITAL_NUMBER.ENCOUNTER_ID.eq(id))
                .fetchOptional(HOSPITAL_NUMBER.SEALED);
    }

    /** What is sealed for some records, by record. */
    Map<UUID, byte[]> sealed(short site, Collection<UUID> ids) {
        return dsl.select(HOSPITAL_NUMBER.ENCOUNTER_ID, HOSPITAL_NUMBER.SEALED)
                .from(HOSPITAL_NUMBER)
                .where(HOSPITAL_NUMBER.SITE_ID.eq(site), HOSPITAL_NUMBER.ENCOUNTER_ID.in(ids))
                .fetchMap(HOSPITAL_NUMBER.ENCOUNTER_ID, HOSPITAL_NUMBER.SEALED);
    }

    void put(short site, UUID id, byte[] sealed, byte[] lookup) {
        dsl.insertInto(HOSPITAL_NUMBER)
                .set(HOSPITAL_NUMBER.SITE_ID, site)
                .set(HOSPITAL_NUMBER.ENCOUNTER_ID, id)
                .set(HOSPITAL_NUMBER.SEALED, sealed)
                .set(HOSPITAL_NUMBER.LOOKUP, lookup)
                .onConflict(HOSPITAL_NUMBER.SITE_ID, HOSPITAL_NUMBER.ENCOUNTER_ID)
                .doUpdate()
                .set(HOSPITAL_NUMBER.SEALED, sealed)
                .set(HOSPITAL_NUMBER.LOOKUP, lookup)
                .set(HOSPITAL_NUMBER.KEPT_AT, DSL.field("clock_timestamp()", OffsetDateTime.class))
                .execute();
    }

    /** Whether a record has a number of one of these hashes. */
    boolean has(short site, UUID id, List<byte[]> lookups) {
        return dsl.fetchExists(
                HOSPITAL_NUMBER,
                HOSPITAL_NUMBER.SITE_ID.eq(site),
                HOSPITAL_NUMBER.ENCOUNTER_ID.eq(id),
                HOSPITAL_NUMBER.LOOKUP.in(lookups));
    }

    /** The records of a unit with one of these hashes, the latest intubation first. */
    List<Of> find(short site, List<byte[]> lookups) {
        return dsl.select(RECORD.asterisk())
                .from(HOSPITAL_NUMBER)
                .join(RECORD)
                .on(RECORD.SITE_ID.eq(HOSPITAL_NUMBER.SITE_ID), RECORD.ENCOUNTER_ID.eq(HOSPITAL_NUMBER.ENCOUNTER_ID))
                .where(HOSPITAL_NUMBER.SITE_ID.eq(site), HOSPITAL_NUMBER.LOOKUP.in(lookups))
                .orderBy(RECORD.STARTED_AT.desc(), RECORD.ENCOUNTER_ID)
                .fetch(HospitalNumberStore::of);
    }

    /** Erases the number of a record; whether there was one. */
    boolean erase(short site, UUID id) {
        return dsl.deleteFrom(HOSPITAL_NUMBER)
                        .where(HOSPITAL_NUMBER.SITE_ID.eq(site), HOSPITAL_NUMBER.ENCOUNTER_ID.eq(id))
                        .execute()
                > 0;
    }

    /** Erases a number from all records of a unit; gives which had it. */
    List<UUID> erase(short site, List<byte[]> lookups) {
        return dsl.deleteFrom(HOSPITAL_NUMBER)
                .where(HOSPITAL_NUMBER.SITE_ID.eq(site), HOSPITAL_NUMBER.LOOKUP.in(lookups))
                .returningResult(HOSPITAL_NUMBER.ENCOUNTER_ID)
                .fetch(HOSPITAL_NUMBER.ENCOUNTER_ID);
    }

    /** Erases numbers of records made before a moment, some at a time; gives which had one, by unit. */
    Map<Short, List<UUID>> eraseMadeBefore(OffsetDateTime moment, int most) {
        return dsl.deleteFrom(HOSPITAL_NUMBER)
                .where(DSL.row(HOSPITAL_NUMBER.SITE_ID, HOSPITAL_NUMBER.ENCOUNTER_ID)
                        .in(DSL.select(HOSPITAL_NUMBER.SITE_ID, HOSPITAL_NUMBER.ENCOUNTER_ID)
                                .from(HOSPITAL_NUMBER)
                                .join(RECORD)
                                .on(
                                        RECORD.SITE_ID.eq(HOSPITAL_NUMBER.SITE_ID),
                                        RECORD.ENCOUNTER_ID.eq(HOSPITAL_NUMBER.ENCOUNTER_ID))
                                .where(RECORD.RECORDED_AT.lt(moment))
                                .limit(most)))
                .returningResult(HOSPITAL_NUMBER.SITE_ID, HOSPITAL_NUMBER.ENCOUNTER_ID)
                .fetchGroups(HOSPITAL_NUMBER.SITE_ID, HOSPITAL_NUMBER.ENCOUNTER_ID);
    }

    /** Tells the audit what was done to the numbers of some records, a row for each. */
    void note(String action, short site, List<UUID> records, @Nullable String reason) {
        dsl.execute(
                "select audit.note({0}, 'identity', {1}, id, null, {2}, null) from unnest({3}) id",
                DSL.val(action), DSL.val(site), DSL.val(reason, String.class), DSL.val(records.toArray(UUID[]::new)));
    }

    /** Tells the audit that somebody looked for a number, and how many records had it. */
    void noteSearch(short site, int records) {
        dsl.execute(
                "select audit.note('found', 'identity', {0}, null, null, null, jsonb_build_object('records', {1}))",
                DSL.val(site), DSL.val(records));
    }

    private static Of of(Record row) {
        return new Of(
                row.get(RECORD.SITE_ID),
                row.get(RECORD.ENCOUNTER_ID),
                row.get(RECORD.RECORDED_AT).toInstant(),
                row.get(RECORD.STARTED_AT).toInstant(),
                row.get(RECORD.PRECISION),
                row.get(RECORD.WITHDRAWN),
                row.get(RECORD.OWN));
    }
}
