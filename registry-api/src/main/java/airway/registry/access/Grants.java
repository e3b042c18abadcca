package airway.registry.access;

import static airway.sql.generated.access.Tables.ROLE_GRANT;

import java.time.Clock;
import org.jooq.DSLContext;
import org.jooq.Record1;
import org.jooq.Select;

/** Who has which role. */
final class Grants {
    private Grants() {}

    /** The actors that have a role now, as a part of another question. */
    static Select<Record1<Integer>> holders(DSLContext dsl, Role role, Clock clock) {
        return dsl.select(ROLE_GRANT.ACTOR_ID)
                .from(ROLE_GRANT)
                .where(ROLE_GRANT.ROLE.eq(role.code()))
                .and(People.inForce(clock));
    }
}
