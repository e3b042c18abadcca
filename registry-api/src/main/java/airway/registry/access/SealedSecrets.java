package airway.registry.access;

import static airway.sql.generated.access.Tables.ACCOUNT;

import airway.registry.keys.SealedTable;
import java.util.List;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.Table;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;

/** The secrets of one-time codes, to be sealed anew when there is a newer key. */
@Component
@ConditionalOnWebApplication
class SealedSecrets implements SealedTable {
    @Override
    public String title() {
        return "Secrets of one-time codes";
    }

    @Override
    public Table<?> table() {
        return ACCOUNT;
    }

    @Override
    public List<Field<?>> key() {
        return List.of(ACCOUNT.ACTOR_ID);
    }

    @Override
    public Field<byte[]> sealed() {
        return ACCOUNT.SECOND_FACTOR;
    }

    @Override
    public String place(Record row) {
        return SignIn.place(row.get(ACCOUNT.ACTOR_ID));
    }
}
