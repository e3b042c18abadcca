package airway.registry.access;

import static airway.sql.generated.access.Tables.ACCOUNT;
import static airway.sql.generated.access.Tables.ACTOR;
import static airway.sql.generated.access.Tables.ROLE_GRANT;
import static airway.sql.generated.access.Tables.TOKEN;

import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import java.net.InetAddress;
import java.time.Clock;
import java.time.Duration;
import java.time.OffsetDateTime;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jooq.DSLContext;
import org.jooq.impl.DSL;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Component;

/**
 * One invented person and one token for each role, in all units: for trying out with invented data, on this machine alone.
 */
@Component
public class DemoPeople {
    /** Names of invented people begin with this, and no others. */
    static final String LOGIN = "demo-";

    private static final Duration TOKENS_SERVE = Duration.ofDays(30);

    /** Who is offered: the look-back reader comes by a grant for a limited time, not as a person. */
    private static final List<Role> ROLES = List.of(
            Role.RECORDER,
            Role.IMPROVEMENT_LEAD,
            Role.RESEARCHER,
            Role.DATA_GUARDIAN,
            Role.KIT_KEEPER,
            Role.ADMINISTRATOR,
            Role.AUDITOR);

    private final ActorTransactions transactions;
    private final Clock clock;
    private final boolean demo;

    DemoPeople(
            ActorTransactions transactions,
            Clock clock,
            @Value("${airway.demo}") boolean demo,
            @Value("${server.address}") InetAddress address) {
        if (demo && !address.isLoopbackAddress()) {
            throw new RefusedByPolicy("In a demonstration anybody may be anybody, so it serves this machine only:"
                    + " leave server.address at 127.0.0.1, or airway.demo at false.");
        }
        this.transactions = transactions;
        this.clock = clock;
        this.demo = demo;
    }

    /** The roles offered at the sign-in; none outside a demonstration. */
    public List<Role> roles() {
        return demo ? ROLES : List.of();
    }

    /** The invented person of a role; empty outside a demonstration. */
    public Optional<Integer> actor(String role) {
        return roles().stream()
                .filter(offered -> offered.code().equals(role))
                .findFirst()
                .map(offered -> Acting.asProgram(() -> transactions.write(dsl -> person(dsl, offered))));
    }

    /** Makes the tokens anew, one for each role; those of the last start no longer serve. Their secrets by role. */
    Map<Role, String> tokens() {
        return Acting.asProgram(() -> transactions.write(dsl -> {
            OffsetDateTime now = OffsetDateTime.now(clock);
            dsl.update(TOKEN)
                    .set(TOKEN.REVOKED_AT, now)
                    .where(TOKEN.DEMO)
                    .and(TOKEN.REVOKED_AT.isNull())
                    .execute();
            Map<Role, String> secrets = new EnumMap<>(Role.class);
            for (Role role : roles()) {
                String secret = Secret.fresh();
                int actor = Tokens.add(dsl, role.title() + ", demonstration", secret, now.plus(TOKENS_SERVE), true);
                grantEverywhere(dsl, actor, role);
                secrets.put(role, secret);
            }
            return secrets;
        }));
    }

    /** Opens units that came since to the invented people and tokens there are; nothing where there are none. */
    public void openNewUnits() {
        Acting.asProgram(() -> transactions.write(dsl -> {
            dsl.select(ROLE_GRANT.ACTOR_ID, ROLE_GRANT.ROLE)
                    .distinctOn(ROLE_GRANT.ACTOR_ID)
                    .from(ROLE_GRANT)
                    .leftJoin(ACCOUNT)
                    .on(ACCOUNT.ACTOR_ID.eq(ROLE_GRANT.ACTOR_ID))
                    .leftJoin(TOKEN)
                    .on(TOKEN.ACTOR_ID.eq(ROLE_GRANT.ACTOR_ID))
                    .where(ROLE_GRANT.ENDED_AT.isNull())
                    .and(ACCOUNT.LOGIN
                            .startsWith(LOGIN)
                            .or(DSL.condition(TOKEN.DEMO).and(TOKEN.REVOKED_AT.isNull())))
                    .forEach(row -> Role.of(row.value2()).ifPresent(role -> grantEverywhere(dsl, row.value1(), role)));
            return true;
        }));
    }

    private int person(DSLContext dsl, Role role) {
        Integer known = dsl.select(ACCOUNT.ACTOR_ID)
                .from(ACCOUNT)
                .where(ACCOUNT.LOGIN.eq(LOGIN + role.code()))
                .fetchOne(ACCOUNT.ACTOR_ID);
        int actor = known == null ? SignIn.add(dsl, LOGIN + role.code(), role.title()) : known;
        if (known == null) {
            dsl.update(ACCOUNT)
                    .set(ACCOUNT.STATE, "active")
                    .where(ACCOUNT.ACTOR_ID.eq(actor))
                    .execute();
            dsl.update(ACTOR)
                    .set(ACTOR.OPERATOR_GRADE, "senior")
                    .set(ACTOR.OPERATOR_EXPERIENCE, "25_100")
                    .where(ACTOR.ACTOR_ID.eq(actor))
                    .execute();
        }
        grantEverywhere(dsl, actor, role);
        return actor;
    }

    private void grantEverywhere(DSLContext dsl, int actor, Role role) {
        if (role.besideUnits()) {
            if (!dsl.fetchExists(ROLE_GRANT, ROLE_GRANT.ACTOR_ID.eq(actor).and(ROLE_GRANT.ENDED_AT.isNull()))) {
                Tokens.grant(dsl, actor, role, null);
            }
            return;
        }
        for (Site site : Sites.all(dsl)) {
            if (!dsl.fetchExists(
                    ROLE_GRANT,
                    ROLE_GRANT
                            .ACTOR_ID
                            .eq(actor)
                            .and(ROLE_GRANT.SITE_ID.eq(site.no()))
                            .and(ROLE_GRANT.ENDED_AT.isNull()))) {
                Tokens.grant(dsl, actor, role, site.no());
            }
        }
    }
}
