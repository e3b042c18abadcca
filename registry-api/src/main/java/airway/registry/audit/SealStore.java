package airway.registry.audit;

import static airway.sql.generated.audit.Tables.ENTRY;
import static airway.sql.generated.audit.Tables.SEAL;
import static airway.sql.generated.audit.Tables.UNSEALED;

import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import org.jooq.DSLContext;
import org.jooq.Record;
import org.jooq.impl.DSL;

/** Adds seals to the chain inside a running transaction. */
final class SealStore {
    private static final HexFormat HEX = HexFormat.of();

    private final DSLContext dsl;

    SealStore(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** Whether this transaction is the one that seals now; held until it ends. Whoever is not lets the other do it. */
    boolean hold() {
        return dsl.select(DSL.field(
                        "pg_try_advisory_xact_lock(hashtextextended({0}, 0))", Boolean.class, DSL.val("audit seal")))
                .fetchSingle()
                .value1();
    }

    /** The newest seal; empty where the chain has not begun. */
    Optional<Seal> last() {
        return dsl.selectFrom(SEAL).orderBy(SEAL.SEQ.desc()).limit(1).fetchOptional(SealStore::seal);
    }

    static Seal seal(Record row) {
        byte[] previous = row.get(SEAL.PREVIOUS);
        return new Seal(
                row.get(SEAL.SEQ),
                row.get(SEAL.ENTRY_ID),
                previous == null ? null : HEX.formatHex(previous),
                HEX.formatHex(row.get(SEAL.HASH)));
    }

    /** The oldest entries that wait, in order of writing. */
    List<Entry> waiting(int most) {
        return dsl.select(EntryTable.COLUMNS)
                .from(UNSEALED)
                .join(ENTRY)
                .on(ENTRY.ENTRY_ID.eq(UNSEALED.ENTRY_ID))
                .orderBy(UNSEALED.ENTRY_ID)
                .limit(most)
                .fetch(EntryTable::entry);
    }

    /** Adds seals; the database takes their entries off the list of those that wait. */
    void insert(List<Seal> seals) {
        var insert = dsl.insertInto(SEAL, SEAL.SEQ, SEAL.ENTRY_ID, SEAL.PREVIOUS, SEAL.HASH);
        for (Seal seal : seals) {
            String previous = seal.previous();
            insert = insert.values(
                    seal.seq(),
                    seal.entryId(),
                    previous == null ? null : HEX.parseHex(previous),
                    HEX.parseHex(seal.hash()));
        }
        insert.execute();
    }
}
