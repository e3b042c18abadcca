package airway.registry.kit;

import static airway.sql.generated.kit.Tables.TROLLEY;
import static airway.sql.generated.kit.Tables.TROLLEY_CHECK;

import java.time.ZoneOffset;
import org.jooq.DSLContext;
import org.jooq.JSONB;
import org.jspecify.annotations.Nullable;

/** Adds trolleys and checks inside a running transaction. */
final class TrolleyStore {
    private final DSLContext dsl;

    TrolleyStore(DSLContext dsl) {
        this.dsl = dsl;
    }

    void insert(Trolley trolley) {
        dsl.insertInto(TROLLEY)
                .set(TROLLEY.SITE_ID, trolley.site().no())
                .set(TROLLEY.TROLLEY_ID, trolley.id())
                .set(TROLLEY.VERSION, trolley.version())
                .set(TROLLEY.STATUS, trolley.version() == 1 ? "final" : "amended")
                .set(TROLLEY.TITLE, trolley.title())
                .set(TROLLEY.IN_USE, trolley.inUse())
                .set(TROLLEY.DUE_AT, trolley.dueAt())
                .set(TROLLEY.CHECK_DAYS, (short) trolley.checkDays())
                .set(TROLLEY.FULL_DAYS, (short) trolley.fullDays())
                .set(TROLLEY.LIGHT, trolley.light())
                .set(TROLLEY.BATTERY_LEAST, small(trolley.batteryLeast()))
                .set(TROLLEY.RECORDER, trolley.recorder())
                .set(
                        TROLLEY.SLOTS,
                        JSONB.valueOf(TrolleyJson.slots(trolley.slots()).toString()))
                .execute();
    }

    /**
     * Adds the next line to the log of a trolley.
     *
     * @param status final, amended or withdrawn
     * @param corrects the line that it stands for or takes back, or null
     * @param layout the version of the trolley that was checked
     */
    void insert(
            Trolley trolley,
            int version,
            String status,
            @Nullable Integer corrects,
            int layout,
            Check.Found found,
            @Nullable String reason) {
        Check.Recordings recordings = found.recordings();
        dsl.insertInto(TROLLEY_CHECK)
                .set(TROLLEY_CHECK.SITE_ID, trolley.site().no())
                .set(TROLLEY_CHECK.TROLLEY_ID, trolley.id())
                .set(TROLLEY_CHECK.VERSION, version)
                .set(TROLLEY_CHECK.STATUS, status)
                .set(TROLLEY_CHECK.CORRECTS, corrects)
                .set(TROLLEY_CHECK.TROLLEY_VERSION, layout)
                .set(TROLLEY_CHECK.KIND, found.kind().code())
                .set(TROLLEY_CHECK.CHECKED_AT, found.at().atOffset(ZoneOffset.UTC))
                .set(TROLLEY_CHECK.SEAL_FOUND, found.sealFound())
                .set(TROLLEY_CHECK.SEAL_READ, found.sealRead())
                .set(TROLLEY_CHECK.SEAL_APPLIED, found.sealApplied())
                .set(
                        TROLLEY_CHECK.LINES,
                        found.lines().isEmpty()
                                ? null
                                : JSONB.valueOf(TrolleyJson.lines(found.lines()).toString()))
                .set(TROLLEY_CHECK.LIGHT, found.light())
                .set(TROLLEY_CHECK.BATTERY, small(found.battery()))
                .set(TROLLEY_CHECK.MEMORY_FREE, found.memoryFree())
                .set(TROLLEY_CHECK.RECORDINGS, recordings == null ? null : recordings.code())
                .set(TROLLEY_CHECK.NOTE, found.note())
                .set(TROLLEY_CHECK.REASON, reason)
                .execute();
    }

    private static @Nullable Short small(@Nullable Integer number) {
        return number == null ? null : number.shortValue();
    }
}
