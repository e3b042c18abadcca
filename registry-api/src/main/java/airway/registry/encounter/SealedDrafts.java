package airway.registry.encounter;

import static airway.sql.generated.encounter.Tables.DRAFT;

import airway.registry.keys.SealedTable;
import java.util.List;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.Table;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;

/** Half-filled records, to be sealed anew when there is a newer key. */
@Component
@ConditionalOnWebApplication
class SealedDrafts implements SealedTable {
    @Override
    public String title() {
        return "Unfinished records";
    }

    @Override
    public Table<?> table() {
        return DRAFT;
    }

    @Override
    public List<Field<?>> key() {
        return List.of(DRAFT.SITE_ID, DRAFT.DRAFT_ID);
    }

    @Override
    public Field<byte[]> sealed() {
        return DRAFT.SEALED;
    }

    @Override
    public String place(Record row) {
        return Drafts.place(row.get(DRAFT.SITE_ID), row.get(DRAFT.DRAFT_ID));
    }
}
