package airway.registry.encounter;

import static airway.sql.generated.encounter.Tables.DRAFT;
import static airway.sql.generated.encounter.Tables.REQUEST;

import airway.registry.access.Site;
import airway.registry.database.ActorTransactions;
import airway.registry.keys.Keys;
import airway.registry.problem.Problem;
import java.nio.charset.StandardCharsets;
import java.time.Clock;
import java.time.Duration;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jooq.Record;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/**
 * Half-filled records of a unit: encrypted, no versions, counted nowhere, gone when saved, thrown away or expired.
 *
 * <p>Two pages that are open on the same draft never overwrite each other: a page writes over what it has itself written
 * or read last, and is refused otherwise.
 */
@Component
@ConditionalOnWebApplication
class Drafts {
    /** How long a draft waits for somebody to go on with it. */
    static final Duration KEPT = Duration.ofDays(7);

    private static final Logger LOG = LoggerFactory.getLogger(Drafts.class);
    private static final int MOST_BYTES = 64 * 1024;
    private static final JsonMapper JSON = new JsonMapper();

    private final ActorTransactions transactions;
    private final Keys keys;
    private final Clock clock;

    Drafts(ActorTransactions transactions, Keys keys, Clock clock) {
        this.transactions = transactions;
        this.keys = keys;
        this.clock = clock;
    }

    /**
     * Keeps what was typed.
     *
     * @param seen the revision that the page has read or written last; 0 for a new draft
     * @param writer the page, random
     * @return the new revision
     * @throws Problem.Conflict if the record was saved by now, or another page has gone on with it
     * @throws Problem.Busy if it is being kept or saved at this moment
     * @throws Problem.TooLarge if more was typed than a form can hold
     */
    int keep(Site site, UUID id, int seen, UUID writer, Typed typed) {
        byte[] clear = JSON.writeValueAsBytes(typed.fields());
        if (clear.length > MOST_BYTES) {
            throw new Problem.TooLarge("A draft holds at most 64 KiB.");
        }
        byte[] sealed = keys.seal(place(site.no(), id), clear);
        return transactions.write(dsl -> {
            purge(dsl);
            if (!new EncounterQuery(dsl).take(Encounters.RECORD, new IdempotencyKey(id.toString()))) {
                throw new Problem.Busy("key");
            }
            if (dsl.fetchExists(REQUEST, REQUEST.KEY.eq(id.toString()))) {
                throw new Problem.Conflict("This record has been saved by now.", List.of());
            }
            OffsetDateTime now = now();
            Integer written = dsl.update(DRAFT)
                    .set(DRAFT.SEALED, sealed)
                    .set(DRAFT.REVISION, DRAFT.REVISION.plus(1))
                    .set(DRAFT.WRITER, writer)
                    .set(DRAFT.WRITTEN_AT, now)
                    .set(DRAFT.EXPIRES_AT, now.plus(KEPT))
                    .where(
                            DRAFT.SITE_ID.eq(site.no()),
                            DRAFT.DRAFT_ID.eq(id),
                            DRAFT.WRITER.eq(writer).or(DRAFT.REVISION.eq(seen)))
                    .returningResult(DRAFT.REVISION)
                    .fetchOne(DRAFT.REVISION);
            if (written != null) {
                return written;
            }
            int added = dsl.insertInto(DRAFT)
                    .set(DRAFT.SITE_ID, site.no())
                    .set(DRAFT.DRAFT_ID, id)
                    .set(DRAFT.REVISION, 1)
                    .set(DRAFT.WRITER, writer)
                    .set(DRAFT.SEALED, sealed)
                    .set(DRAFT.BEGUN_AT, now)
                    .set(DRAFT.WRITTEN_AT, now)
                    .set(DRAFT.EXPIRES_AT, now.plus(KEPT))
                    .onConflictDoNothing()
                    .execute();
            if (added == 0) {
                throw new Problem.Conflict(
                        "Somebody went on with this draft on another page. What you type here is no longer kept: open"
                                + " the draft again from the front page.",
                        List.of());
            }
            return 1;
        });
    }

    /** A draft of the unit. */
    Optional<Draft> find(Site site, UUID id) {
        return transactions.read(dsl -> dsl.selectFrom(DRAFT)
                .where(DRAFT.SITE_ID.eq(site.no()), DRAFT.DRAFT_ID.eq(id), DRAFT.EXPIRES_AT.gt(now()))
                .fetchOptional(row -> draft(site, row)));
    }

    /** All drafts of the unit, the one written last first. */
    List<Draft> open(Site site) {
        return transactions.read(dsl -> dsl.selectFrom(DRAFT)
                .where(DRAFT.SITE_ID.eq(site.no()), DRAFT.EXPIRES_AT.gt(now()))
                .orderBy(DRAFT.WRITTEN_AT.desc(), DRAFT.DRAFT_ID)
                .fetch(row -> draft(site, row)));
    }

    /** Throws a draft away; nothing happens when it is gone already. */
    void discard(Site site, UUID id) {
        transactions.write(dsl -> dsl.deleteFrom(DRAFT)
                .where(DRAFT.SITE_ID.eq(site.no()), DRAFT.DRAFT_ID.eq(id))
                .execute());
    }

    /** Deletes what has expired. */
    private void purge(DSLContext dsl) {
        dsl.deleteFrom(DRAFT).where(DRAFT.EXPIRES_AT.le(now())).execute();
    }

    private Draft draft(Site site, Record row) {
        UUID id = row.get(DRAFT.DRAFT_ID);
        return new Draft(
                id,
                row.get(DRAFT.REVISION),
                opened(site, id, row.get(DRAFT.SEALED)),
                row.get(DRAFT.BEGUN_AT).toInstant(),
                row.get(DRAFT.WRITTEN_AT).toInstant());
    }

    /** One damaged draft must not close the others. */
    private @Nullable Typed opened(Site site, UUID id, byte[] sealed) {
        try {
            return typed(JSON.readTree(new String(keys.open(place(site.no(), id), sealed), StandardCharsets.UTF_8)));
        } catch (IllegalStateException e) {
            LOG.error("The draft {} does not open: it was damaged, or its key is gone.", id);
            return null;
        }
    }

    private static Typed typed(JsonNode fields) {
        Map<String, List<String>> typed = new LinkedHashMap<>();
        fields.properties()
                .forEach(field -> typed.put(
                        field.getKey(),
                        field.getValue().valueStream().map(JsonNode::asString).toList()));
        return new Typed(typed);
    }

    /** The place of a row. */
    static String place(short site, UUID id) {
        return "encounter.draft|" + site + "|" + id;
    }

    private OffsetDateTime now() {
        return clock.instant().atOffset(ZoneOffset.UTC);
    }
}
