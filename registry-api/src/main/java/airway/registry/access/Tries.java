package airway.registry.access;

import static airway.sql.generated.access.Tables.FAILED_TRY;

import airway.registry.keys.Keys;
import java.time.Clock;
import java.time.Duration;
import java.time.OffsetDateTime;
import java.util.Locale;
import org.jooq.DSLContext;
import org.jooq.impl.DSL;

/**
 * How long to wait before the next try to sign in. After five wrong ones for a name each makes the next wait longer, 1, 2,
 * 4 to 60 seconds, and never locks it: that would let anybody lock out a colleague. It is counted for names nobody has
 * too, so that waiting tells nothing. From one address 50 wrong tries in 15 minutes are enough.
 */
final class Tries {
    private static final int FREE = 5;
    private static final long LONGEST_WAIT = 60;
    private static final int STEPS = 6;
    private static final int FROM_ONE_ADDRESS = 50;
    private static final Duration ADDRESS_WINDOW = Duration.ofMinutes(15);
    private static final Duration NAME_WINDOW = Duration.ofHours(1);
    private static final Duration KEPT = Duration.ofDays(1);

    private final Keys keys;
    private final Clock clock;

    Tries(Keys keys, Clock clock) {
        this.keys = keys;
        this.clock = clock;
    }

    /** Seconds until this may be tried; 0 when it may be now. */
    long wait(DSLContext dsl, String login, String address) {
        OffsetDateTime now = OffsetDateTime.now(clock);
        var byName = dsl.select(DSL.count(), DSL.max(FAILED_TRY.AT))
                .from(FAILED_TRY)
                .where(FAILED_TRY.WHAT_HASH.eq(name(login)))
                .and(FAILED_TRY.AT.gt(now.minus(NAME_WINDOW)))
                .fetchSingle();
        long wait = 0;
        OffsetDateTime last = byName.value2();
        if (byName.value1() >= FREE && last != null) {
            long pause = Math.min(LONGEST_WAIT, 1L << Math.min(STEPS, byName.value1() - FREE));
            wait = Math.max(0, Duration.between(now, last.plusSeconds(pause)).toMillis() + 999) / 1000;
        }
        var byAddress = dsl.select(DSL.count(), DSL.min(FAILED_TRY.AT))
                .from(FAILED_TRY)
                .where(FAILED_TRY.WHAT_HASH.eq(address(address)))
                .and(FAILED_TRY.AT.gt(now.minus(ADDRESS_WINDOW)))
                .fetchSingle();
        OffsetDateTime first = byAddress.value2();
        if (byAddress.value1() >= FROM_ONE_ADDRESS && first != null) {
            wait = Math.max(
                    wait, Duration.between(now, first.plus(ADDRESS_WINDOW)).toSeconds() + 1);
        }
        return wait;
    }

    /** Counts a wrong try, and forgets those of yesterday. */
    void wrong(DSLContext dsl, String login, String address) {
        OffsetDateTime now = OffsetDateTime.now(clock);
        dsl.deleteFrom(FAILED_TRY).where(FAILED_TRY.AT.lt(now.minus(KEPT))).execute();
        for (byte[] what : new byte[][] {name(login), address(address)}) {
            dsl.insertInto(FAILED_TRY)
                    .set(FAILED_TRY.WHAT_HASH, what)
                    .set(FAILED_TRY.AT, now)
                    .execute();
        }
    }

    /** The right one came: the name starts afresh. */
    void right(DSLContext dsl, String login) {
        dsl.deleteFrom(FAILED_TRY).where(FAILED_TRY.WHAT_HASH.eq(name(login))).execute();
    }

    private byte[] name(String login) {
        return keys.mac("names tried at the sign-in", login.toLowerCase(Locale.ROOT));
    }

    private byte[] address(String address) {
        return keys.mac("addresses tried from", address);
    }
}
