package airway.registry.access;

import static airway.sql.generated.access.Tables.ACCOUNT;
import static airway.sql.generated.access.Tables.ACTOR;
import static airway.sql.generated.access.Tables.ROLE_GRANT;
import static airway.sql.generated.access.Tables.TOKEN;

import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import java.time.Clock;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.impl.DSL;
import org.springframework.stereotype.Component;

/** Who somebody is, and what they may do at this moment: one question to the database. */
@Component
public class People {
    private final ActorTransactions transactions;
    private final Clock clock;

    People(ActorTransactions transactions, Clock clock) {
        this.transactions = transactions;
        this.clock = clock;
    }

    /** The person of a session, unless the account was closed since. */
    public Optional<Person> signedIn(int actor) {
        return find(ACCOUNT.ACTOR_ID.eq(actor).and(ACCOUNT.STATE.eq("active")));
    }

    /** The token with this secret, if it still serves. */
    public Optional<Person> token(String secret) {
        return find(TOKEN.TOKEN_HASH
                .eq(Secret.hash(secret))
                .and(TOKEN.REVOKED_AT.isNull())
                .and(TOKEN.EXPIRES_AT.gt(OffsetDateTime.now(clock))));
    }

    private Optional<Person> find(Condition which) {
        Field<String[]> roles = DSL.arrayAggDistinct(ROLE_GRANT.ROLE).filterWhere(ROLE_GRANT.ROLE.isNotNull());
        return Acting.asProgram(() -> transactions.read((DSLContext dsl) -> dsl.select(
                        ACTOR.ACTOR_ID,
                        ACTOR.TITLE,
                        ACCOUNT.LOGIN,
                        TOKEN.TOKEN_ID,
                        ACCOUNT.SECOND_FACTOR.isNotNull().as("factor"),
                        roles.as("roles"))
                .from(ACTOR)
                .leftJoin(ACCOUNT)
                .on(ACCOUNT.ACTOR_ID.eq(ACTOR.ACTOR_ID))
                .leftJoin(TOKEN)
                .on(TOKEN.ACTOR_ID.eq(ACTOR.ACTOR_ID))
                .leftJoin(ROLE_GRANT)
                .on(ROLE_GRANT.ACTOR_ID.eq(ACTOR.ACTOR_ID).and(inForce(clock)))
                .where(which)
                .groupBy(ACTOR.ACTOR_ID, TOKEN.ACTOR_ID, ACCOUNT.ACTOR_ID)
                .fetchOptional(People::person)));
    }

    /** Whether a grant counts now. */
    static Condition inForce(Clock clock) {
        return ROLE_GRANT
                .ENDED_AT
                .isNull()
                .and(ROLE_GRANT.EXPIRES_AT.isNull().or(ROLE_GRANT.EXPIRES_AT.gt(OffsetDateTime.now(clock))));
    }

    private static Person person(Record row) {
        String[] codes = row.get("roles", String[].class);
        Set<Role> roles = codes == null
                ? Set.of()
                : List.of(codes).stream()
                        .flatMap(code -> Role.of(code).stream())
                        .collect(Collectors.toSet());
        return new Person(
                row.get(ACTOR.ACTOR_ID),
                row.get(ACTOR.TITLE),
                Objects.requireNonNullElse(row.get(ACCOUNT.LOGIN), ""),
                roles,
                row.get(TOKEN.TOKEN_ID) != null,
                row.get("factor", Boolean.class));
    }
}
