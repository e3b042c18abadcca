package airway.registry.audit;

import static airway.sql.generated.access.Tables.ACTOR;
import static airway.sql.generated.access.Tables.SITE;
import static airway.sql.generated.audit.Tables.ENTRY;
import static airway.sql.generated.audit.Tables.SEAL;

import airway.sql.generated.access.tables.ActorTable;
import airway.sql.generated.audit.Routines;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import org.jooq.Condition;
import org.jooq.Cursor;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.SelectSeekStep1;
import org.jspecify.annotations.Nullable;

/** Reads entries of the audit out of a running transaction, newest first. */
final class AuditQuery {
    private static final int AT_ONCE = 1_000;
    private static final ActorTable ABOUT = ACTOR.as("about");
    private static final Field<String> REASON_CODE = Routines.reasonCode(
                    ENTRY.OBJECT, ENTRY.SITE_ID, ENTRY.OBJECT_ID, ENTRY.VERSION)
            .as("reason_code");

    private final DSLContext dsl;

    AuditQuery(DSLContext dsl) {
        this.dsl = dsl;
    }

    /**
     * Up to {@code most} entries of a filter.
     *
     * @param after number of the entry that the page before ended with; null for the first page
     */
    List<AuditLine> page(AuditFilter filter, @Nullable Long after, int most) {
        return entries(filter, after).limit(most).fetch(AuditQuery::line);
    }

    /** Hands over every entry of a filter, a thousand in memory at a time. */
    void each(AuditFilter filter, Consumer<AuditLine> reader) {
        try (Cursor<Record> cursor = entries(filter, null).fetchSize(AT_ONCE).fetchLazy()) {
            cursor.forEach(row -> reader.accept(line(row)));
        }
    }

    /** Everybody who acts or acted, by name. */
    List<AuditLine.Who> actors() {
        return dsl.select(ACTOR.ACTOR_ID, ACTOR.TITLE)
                .from(ACTOR)
                .orderBy(ACTOR.TITLE, ACTOR.ACTOR_ID)
                .fetch(row -> new AuditLine.Who(row.get(ACTOR.ACTOR_ID), row.get(ACTOR.TITLE)));
    }

    private SelectSeekStep1<Record, Long> entries(AuditFilter filter, @Nullable Long after) {
        return dsl.select(List.of(
                        ENTRY.ENTRY_ID,
                        ENTRY.AT,
                        ENTRY.ACTOR_ID,
                        ENTRY.ACTION,
                        ENTRY.OBJECT,
                        ENTRY.OBJECT_ID,
                        ENTRY.VERSION,
                        ENTRY.ABOUT,
                        ENTRY.REASON,
                        ENTRY.DETAIL,
                        REASON_CODE,
                        SEAL.SEQ,
                        ACTOR.TITLE,
                        ABOUT.TITLE,
                        SITE.CODE,
                        SITE.TITLE))
                .from(ENTRY)
                .leftJoin(SEAL)
                .on(SEAL.ENTRY_ID.eq(ENTRY.ENTRY_ID))
                .leftJoin(ACTOR)
                .on(ACTOR.ACTOR_ID.eq(ENTRY.ACTOR_ID))
                .leftJoin(ABOUT)
                .on(ABOUT.ACTOR_ID.eq(ENTRY.ABOUT))
                .leftJoin(SITE)
                .on(SITE.SITE_ID.eq(ENTRY.SITE_ID))
                .where(conditions(filter, after))
                .orderBy(ENTRY.ENTRY_ID.desc());
    }

    private static List<Condition> conditions(AuditFilter filter, @Nullable Long after) {
        List<Condition> conditions = new ArrayList<>();
        if (after != null) {
            conditions.add(ENTRY.ENTRY_ID.lt(after));
        }
        if (filter.from() != null) {
            conditions.add(ENTRY.AT.ge(start(filter.from())));
        }
        if (filter.to() != null) {
            conditions.add(ENTRY.AT.lt(start(filter.to().plusDays(1))));
        }
        if (filter.site() != null) {
            conditions.add(ENTRY.SITE_ID.eq(filter.site().no()));
        }
        if (filter.action() != null) {
            conditions.add(ENTRY.ACTION.eq(filter.action()));
        }
        if (filter.object() != null) {
            conditions.add(ENTRY.OBJECT.eq(filter.object()));
        }
        if (filter.actor() != null) {
            conditions.add(ENTRY.ACTOR_ID.eq(filter.actor()));
        }
        if (filter.objectId() != null) {
            conditions.add(ENTRY.OBJECT_ID.eq(filter.objectId()));
        }
        return conditions;
    }

    private static OffsetDateTime start(LocalDate day) {
        return day.atStartOfDay().atOffset(ZoneOffset.UTC);
    }

    private static AuditLine line(Record row) {
        Integer about = row.get(ENTRY.ABOUT);
        return new AuditLine(
                row.get(ENTRY.ENTRY_ID),
                row.get(SEAL.SEQ),
                row.get(ENTRY.AT).toInstant(),
                new AuditLine.Who(row.get(ENTRY.ACTOR_ID), row.get(ACTOR.TITLE)),
                row.get(ENTRY.ACTION),
                row.get(ENTRY.OBJECT),
                row.get(ENTRY.OBJECT_ID),
                row.get(ENTRY.VERSION),
                row.get(SITE.CODE),
                row.get(SITE.TITLE),
                about == null ? null : new AuditLine.Who(about, row.get(ABOUT.TITLE)),
                row.get(REASON_CODE),
                row.get(ENTRY.REASON),
                row.get(ENTRY.DETAIL) == null ? null : row.get(ENTRY.DETAIL).data());
    }
}
