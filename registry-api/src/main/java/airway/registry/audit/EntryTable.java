package airway.registry.audit;

import static airway.sql.generated.audit.Tables.ENTRY;

import java.util.HexFormat;
import java.util.List;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.SelectField;
import org.jooq.impl.SQLDataType;

/** The columns of an entry as they are sealed, for whoever reads them: to seal, and to verify. */
final class EntryTable {
    private static final Field<String> AT = ENTRY.AT.cast(SQLDataType.CLOB).as("at_text");
    private static final Field<String> DETAIL =
            ENTRY.DETAIL.cast(SQLDataType.CLOB).as("detail_text");

    static final List<SelectField<?>> COLUMNS = List.of(
            ENTRY.ENTRY_ID,
            AT,
            ENTRY.ACTOR_ID,
            ENTRY.SITE_ID,
            ENTRY.ACTION,
            ENTRY.OBJECT,
            ENTRY.OBJECT_ID,
            ENTRY.VERSION,
            ENTRY.HASH,
            ENTRY.ABOUT,
            ENTRY.REASON,
            DETAIL);

    private EntryTable() {}

    static Entry entry(Record row) {
        byte[] hash = row.get(ENTRY.HASH);
        return new Entry(
                row.get(ENTRY.ENTRY_ID),
                row.get(AT),
                row.get(ENTRY.ACTOR_ID),
                row.get(ENTRY.SITE_ID),
                row.get(ENTRY.ACTION),
                row.get(ENTRY.OBJECT),
                row.get(ENTRY.OBJECT_ID),
                row.get(ENTRY.VERSION),
                hash == null ? null : HexFormat.of().formatHex(hash),
                row.get(ENTRY.ABOUT),
                row.get(ENTRY.REASON),
                row.get(DETAIL));
    }
}
