package airway.registry.audit;

import static airway.sql.generated.audit.Tables.ENTRY;
import static airway.sql.generated.audit.Tables.SEAL;
import static airway.sql.generated.audit.Tables.UNSEALED;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jooq.Cursor;
import org.jooq.DSLContext;
import org.jooq.Record;
import org.jooq.SelectField;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;

/** Reads the chain out of a running transaction. */
final class ChainQuery {
    private static final int AT_ONCE = 1_000;

    private final DSLContext dsl;

    ChainQuery(DSLContext dsl) {
        this.dsl = dsl;
    }

    /** Whoever is handed the chain, link by link; false ends the walk. */
    interface Walker {
        /**
         * Takes one link.
         *
         * @param entry null where there is no such entry
         */
        boolean take(Seal seal, @Nullable Entry entry);
    }

    /** Hands over the chain in its order, a thousand links in memory at a time. */
    void walk(Walker walker) {
        // A long chain takes longer than a page may; nothing waits for this reading.
        dsl.execute("set local statement_timeout = 0");
        List<SelectField<?>> columns = new ArrayList<>(List.of(SEAL.SEQ, SEAL.ENTRY_ID, SEAL.PREVIOUS, SEAL.HASH));
        columns.addAll(EntryTable.COLUMNS);
        try (Cursor<Record> cursor = dsl.select(columns)
                .from(SEAL)
                .leftJoin(ENTRY)
                .on(ENTRY.ENTRY_ID.eq(SEAL.ENTRY_ID))
                .orderBy(SEAL.SEQ)
                .fetchSize(AT_ONCE)
                .fetchLazy()) {
            for (Record row : cursor) {
                if (!walker.take(SealStore.seal(row), row.get(ENTRY.ENTRY_ID) == null ? null : EntryTable.entry(row))) {
                    return;
                }
            }
        }
    }

    /** The first entry that is neither sealed nor waits. */
    Optional<Long> neverSealed() {
        return dsl.select(ENTRY.ENTRY_ID)
                .from(ENTRY)
                .where(
                        DSL.notExists(DSL.selectOne().from(SEAL).where(SEAL.ENTRY_ID.eq(ENTRY.ENTRY_ID))),
                        DSL.notExists(DSL.selectOne().from(UNSEALED).where(UNSEALED.ENTRY_ID.eq(ENTRY.ENTRY_ID))))
                .orderBy(ENTRY.ENTRY_ID)
                .limit(1)
                .fetchOptional(ENTRY.ENTRY_ID);
    }

    /** The first entry that waits and is not there. */
    Optional<Long> waitingMissing() {
        return dsl.select(UNSEALED.ENTRY_ID)
                .from(UNSEALED)
                .where(DSL.notExists(DSL.selectOne().from(ENTRY).where(ENTRY.ENTRY_ID.eq(UNSEALED.ENTRY_ID))))
                .orderBy(UNSEALED.ENTRY_ID)
                .limit(1)
                .fetchOptional(UNSEALED.ENTRY_ID);
    }

    long unsealed() {
        return dsl.fetchCount(UNSEALED);
    }

    /** When somebody last verified, who, and what it gave. */
    Optional<LastCheck> lastCheck() {
        return dsl.select(ENTRY.AT, ENTRY.DETAIL)
                .from(ENTRY)
                .where(ENTRY.OBJECT.eq(DSL.inline("chain")))
                .orderBy(ENTRY.ENTRY_ID.desc())
                .limit(1)
                .fetchOptional(row -> LastCheck.of(
                        row.get(ENTRY.AT).toInstant(), row.get(ENTRY.DETAIL).data()));
    }

    /** Writes down that the chain was verified, in the name of who acts. */
    void note(LastCheck check) {
        dsl.execute(
                "select audit.note('verified', 'chain', null, null, null, null, {0}::jsonb)", DSL.val(check.detail()));
    }
}
