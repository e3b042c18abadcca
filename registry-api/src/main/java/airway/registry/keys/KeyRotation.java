package airway.registry.keys;

import static airway.sql.generated.access.Tables.KEY;

import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Problem;
import airway.sql.CannotStart;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.Future;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.jooq.Query;
import org.jooq.Record;
import org.jooq.Result;
import org.jooq.impl.DSL;
import org.jooq.impl.SQLDataType;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.scheduling.TaskScheduler;
import org.springframework.scheduling.annotation.Scheduled;
import org.springframework.stereotype.Component;

/**
 * A new key, and everything sealed with an earlier one sealed anew with it, a batch at a time, while people work.
 *
 * <p>How far it got is told by the rows themselves, so it goes on after a kill where it was. A row can be read at any
 * moment: it carries the number of its key, and the earlier keys stay.
 */
@Component
@ConditionalOnWebApplication
public class KeyRotation {
    private static final Logger LOG = LoggerFactory.getLogger(KeyRotation.class);
    private static final int BATCH = 100;
    private static final long MINUTE_MS = 60_000;

    private final ActorTransactions transactions;
    private final Keys keys;
    private final List<SealedTable> tables;
    private final TaskScheduler background;

    /** Damaged rows that the log has named. */
    private final Set<String> told = ConcurrentHashMap.newKeySet();

    KeyRotation(ActorTransactions transactions, Keys keys, List<SealedTable> tables, TaskScheduler background) {
        this.transactions = transactions;
        this.keys = keys;
        this.tables = tables;
        this.background = background;
    }

    /**
     * A key, and what is sealed with it at the moment.
     *
     * @param seals whether it is the one that seals
     * @param rows by what they are
     */
    public record Held(int number, Instant madeAt, boolean seals, Map<String, Integer> rows) {
        public int all() {
            return rows.values().stream().mapToInt(Integer::intValue).sum();
        }
    }

    /** All keys, the newest first. */
    public List<Held> held() {
        return Acting.asProgram(() -> transactions.read(this::held));
    }

    private List<Held> held(DSLContext dsl) {
        SortedMap<Integer, Map<String, Integer>> rows = new TreeMap<>();
        for (SealedTable table : tables) {
            Field<Integer> number = number(table);
            dsl.select(number, DSL.count())
                    .from(table.table())
                    .where(table.sealed().isNotNull())
                    .groupBy(number)
                    .forEach(row -> rows.computeIfAbsent(row.value1(), key -> new LinkedHashMap<>())
                            .put(table.title(), row.value2()));
        }
        List<Held> held = new ArrayList<>();
        for (Record key : dsl.selectFrom(KEY).orderBy(KEY.KEY_NO.desc())) {
            int no = key.get(KEY.KEY_NO);
            held.add(new Held(
                    no, key.get(KEY.MADE_AT).toInstant(), no == keys.newest(), rows.getOrDefault(no, Map.of())));
        }
        return held;
    }

    /**
     * Makes a new key, and begins to seal everything anew with it.
     *
     * @return its number
     * @throws Problem.Conflict if it cannot be made; nothing was changed then
     */
    public int begin() {
        try {
            int number = keys.add();
            // It tells the log itself what goes wrong.
            Future<?> unused = background.schedule(this::goOn, Instant.now());
            return number;
        } catch (CannotStart e) {
            LOG.error("No key was made: {}", e.getMessage());
            throw new Problem.Conflict(
                    "The new key cannot be written into the folder of the keys, so nothing was changed. The log of the"
                            + " register says why.",
                    List.of());
        }
    }

    /** Seals anew what is left, now and whenever something is: a start after a kill goes on by itself. */
    @Scheduled(fixedDelay = MINUTE_MS)
    void goOn() {
        try {
            keys.learn();
            while (Acting.asProgram(() -> sealAnew()) > 0) {
                // What somebody else was writing at that moment is left for the next turn.
            }
        } catch (RuntimeException e) {
            LOG.error(
                    "Sealing anew stopped, and is tried again in a minute: {}",
                    e.getClass().getSimpleName());
        }
    }

    /** One turn over all tables; gives how many rows were sealed anew. */
    private int sealAnew() {
        int done = 0;
        for (SealedTable table : tables) {
            Result<?> old = transactions.read(dsl -> dsl.select(table.key())
                    .from(table.table())
                    .where(number(table).lt(keys.newest()))
                    .fetch());
            for (int from = 0; from < old.size(); from += BATCH) {
                done += sealAnew(table, old.subList(from, Math.min(old.size(), from + BATCH)));
            }
        }
        return done;
    }

    /** Seals some rows anew, in one transaction; gives how many. */
    int sealAnew(SealedTable table, List<? extends Record> which) {
        Condition these = DSL.or(which.stream().map(row -> is(table, row)).toList());
        return transactions.write(dsl -> {
            List<Query> updates = new ArrayList<>();
            for (Record row : dsl.selectFrom(table.table())
                    .where(these, number(table).lt(keys.newest()))
                    .forUpdate()
                    .skipLocked()
                    .fetch()) {
                Query update = update(dsl, table, row);
                if (update != null) {
                    updates.add(update);
                }
            }
            if (!updates.isEmpty()) {
                dsl.batch(updates).execute();
            }
            return updates.size();
        });
    }

    /** One damaged row must not keep the others under the earlier key. */
    private @Nullable Query update(DSLContext dsl, SealedTable table, Record row) {
        byte[] clear;
        try {
            clear = keys.open(table.place(row), row.get(table.sealed()));
        } catch (IllegalStateException e) {
            if (told.add(table.place(row))) {
                LOG.error("{} It stays under its earlier key.", e.getMessage());
            }
            return null;
        }
        byte[] sealed = keys.seal(table.place(row), clear);
        return dsl.update(table.table())
                .set(table.sealed(), sealed)
                .set(table.beside(row, clear, Keys.number(sealed)))
                .where(is(table, row));
    }

    private static Condition is(SealedTable table, Record row) {
        return DSL.and(table.key().stream().map(field -> is(field, row)).toList());
    }

    private static <T> Condition is(Field<T> field, Record row) {
        return field.eq(row.get(field));
    }

    private static Field<Integer> number(SealedTable table) {
        return DSL.field("get_byte({0}, 0)", SQLDataType.INTEGER, table.sealed());
    }
}
