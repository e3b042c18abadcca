package airway.registry.access;

import static airway.sql.generated.access.Tables.ACTOR;
import static airway.sql.generated.access.Tables.ROLE_GRANT;
import static airway.sql.generated.access.Tables.SITE;
import static airway.sql.generated.access.Tables.TOKEN;

import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.Duration;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;

/** Secrets by which other programs use the API: each has one role in one unit, ends by itself, and is shown once. */
@Component
public class Tokens {
    /** The longest a token may serve. */
    public static final Duration LONGEST = Duration.ofDays(366);

    private final ActorTransactions transactions;
    private final Clock clock;

    Tokens(ActorTransactions transactions, Clock clock) {
        this.transactions = transactions;
        this.clock = clock;
    }

    /**
     * A token in the list.
     *
     * @param unit code of its unit, null for a role beside the units
     */
    public record Line(
            UUID id,
            String title,
            String role,
            @Nullable String unit,
            OffsetDateTime expiresAt,
            @Nullable OffsetDateTime revokedAt) {}

    /**
     * Makes a token and tells its secret, which cannot be told again.
     *
     * @param unit code of the unit; needed unless the role stands beside the units
     * @param serves how long it serves, at most {@link #LONGEST}
     * @throws Problem.Invalid if one of these is not possible
     */
    public String make(String title, Role role, @Nullable String unit, Duration serves) {
        return transactions.write(dsl -> {
            Short site = unit(dsl, role, unit);
            if (title.isBlank() || title.length() > 80) {
                throw new Problem.Invalid(
                        Fault.parameter("title", "length", "Say what it is for, in 1 to 80 characters."));
            }
            if (serves.isNegative() || serves.isZero() || serves.compareTo(LONGEST) > 0) {
                throw new Problem.Invalid(
                        Fault.parameter("expires", "range", "A token serves from 1 minute to 366 days."));
            }
            String secret = Secret.fresh();
            int actor = add(dsl, title, secret, OffsetDateTime.now(clock).plus(serves), false);
            grant(dsl, actor, role, site);
            UUID id = dsl.select(TOKEN.TOKEN_ID)
                    .from(TOKEN)
                    .where(TOKEN.ACTOR_ID.eq(actor))
                    .fetchSingle(TOKEN.TOKEN_ID);
            AuditNote.of("added", "token")
                    .unit(site)
                    .object(id)
                    .about(actor)
                    .detail(Map.of("role", role.code()))
                    .write(dsl);
            return secret;
        });
    }

    private static @Nullable Short unit(DSLContext dsl, Role role, @Nullable String unit) {
        if (role.besideUnits()) {
            if (unit != null) {
                throw new Problem.Invalid(
                        Fault.parameter("site", "not_asked", "Leave the unit out: this role stands beside the units."));
            }
            return null;
        }
        if (unit == null) {
            throw new Problem.Invalid(Fault.parameter("site", "missing", "Name the unit by its code."));
        }
        return Sites.find(dsl, unit)
                .map(Site::no)
                .orElseThrow(() ->
                        new Problem.Invalid(Fault.parameter("site", "unknown", "There is no unit of this code.")));
    }

    static int add(DSLContext dsl, String title, String secret, OffsetDateTime until, boolean demo) {
        int actor = dsl.insertInto(ACTOR)
                .set(ACTOR.TITLE, title)
                .returningResult(ACTOR.ACTOR_ID)
                .fetchSingle()
                .value1();
        dsl.insertInto(TOKEN)
                .set(TOKEN.ACTOR_ID, actor)
                .set(TOKEN.TOKEN_HASH, Secret.hash(secret))
                .set(TOKEN.EXPIRES_AT, until)
                .set(TOKEN.DEMO, demo)
                .execute();
        return actor;
    }

    static void grant(DSLContext dsl, int actor, Role role, @Nullable Short site) {
        dsl.insertInto(ROLE_GRANT)
                .set(ROLE_GRANT.ACTOR_ID, actor)
                .set(ROLE_GRANT.ROLE, role.code())
                .set(ROLE_GRANT.SITE_ID, site)
                .execute();
    }

    /** All tokens but those of the demonstration, the newest first. */
    public List<Line> all() {
        return transactions.read(dsl -> dsl.select(
                        TOKEN.TOKEN_ID, ACTOR.TITLE, ROLE_GRANT.ROLE, SITE.CODE, TOKEN.EXPIRES_AT, TOKEN.REVOKED_AT)
                .from(TOKEN)
                .join(ACTOR)
                .on(ACTOR.ACTOR_ID.eq(TOKEN.ACTOR_ID))
                .join(ROLE_GRANT)
                .on(ROLE_GRANT.ACTOR_ID.eq(TOKEN.ACTOR_ID))
                .leftJoin(SITE)
                .on(SITE.SITE_ID.eq(ROLE_GRANT.SITE_ID))
                .where(DSL.not(TOKEN.DEMO))
                .orderBy(TOKEN.ACTOR_ID.desc())
                .fetch(row ->
                        new Line(row.value1(), row.value2(), row.value3(), row.value4(), row.value5(), row.value6())));
    }

    /**
     * Takes a token back; from then on it opens nothing.
     *
     * @throws Problem.Missing if there is no such token
     */
    public void revoke(UUID id) {
        transactions.write(dsl -> {
            Integer actor = dsl.update(TOKEN)
                    .set(TOKEN.REVOKED_AT, OffsetDateTime.now(clock))
                    .where(TOKEN.TOKEN_ID.eq(id))
                    .and(TOKEN.REVOKED_AT.isNull())
                    .returningResult(TOKEN.ACTOR_ID)
                    .fetchOptional(row -> row.value1())
                    .orElseThrow(() -> new Problem.Missing("token"));
            AuditNote.of("revoked", "token").object(id).about(actor).write(dsl);
            return actor;
        });
    }
}
