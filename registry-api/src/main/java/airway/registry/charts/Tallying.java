package airway.registry.charts;

import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import airway.sql.generated.analysis.Routines;
import java.util.Objects;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.scheduling.annotation.Scheduled;
import org.springframework.stereotype.Component;

/** Tallies years whose records changed, once a minute; until then they are counted record by record. */
@Component
@ConditionalOnWebApplication
class Tallying {
    private static final Logger LOG = LoggerFactory.getLogger(Tallying.class);
    private static final long MINUTE_MS = 60_000;

    /** So many years of units at a time. */
    private static final int BATCH = 5;

    private final ActorTransactions transactions;

    Tallying(ActorTransactions transactions) {
        this.transactions = transactions;
    }

    @Scheduled(fixedDelay = MINUTE_MS)
    void everyMinute() {
        try {
            Acting.asProgram(this::all);
        } catch (RuntimeException e) {
            LOG.warn(
                    "Years were not tallied; charts count their records instead: {}",
                    e.getClass().getSimpleName());
        }
    }

    /** Tallies what is marked; gives how many years of units. */
    int all() {
        int all = 0;
        int done;
        do {
            done = Objects.requireNonNull(transactions.write(dsl -> {
                // Nobody waits for it, and a year of tens of thousands of records takes longer than a page may.
                dsl.execute("set local statement_timeout = '5min'");
                return Routines.tally(dsl.configuration(), BATCH);
            }));
            all += done;
        } while (done > 0);
        return all;
    }
}
