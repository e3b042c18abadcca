package airway.registry.identity;

import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.scheduling.annotation.Scheduled;
import org.springframework.stereotype.Component;

/** Erases hospital numbers that have been kept for as long as they may: at the start, and once a day. */
@Component
@ConditionalOnWebApplication
class Retention {
    private static final Logger LOG = LoggerFactory.getLogger(Retention.class);
    private static final int BATCH = 500;
    private static final long DAY_MS = 86_400_000;

    private final ActorTransactions transactions;
    private final KeepFor keepFor;

    Retention(ActorTransactions transactions, KeepFor keepFor) {
        this.transactions = transactions;
        this.keepFor = keepFor;
    }

    @Scheduled(fixedDelay = DAY_MS)
    void daily() {
        try {
            int erased = Acting.asProgram(this::erase);
            if (erased > 0) {
                LOG.info("{} hospital numbers were erased: kept for {}.", erased, keepFor.words());
            }
        } catch (RuntimeException e) {
            LOG.error(
                    "Hospital numbers that are due were not erased; tried again tomorrow and at the next start: {}",
                    e.getClass().getSimpleName());
        }
    }

    /** Erases what is due; gives how many numbers. */
    int erase() {
        int all = 0;
        int erased;
        do {
            erased = transactions.write(dsl -> {
                HospitalNumberStore store = new HospitalNumberStore(dsl);
                Map<Short, List<UUID>> gone =
                        store.eraseMadeBefore(keepFor.begin().atOffset(ZoneOffset.UTC), BATCH);
                gone.forEach((site, records) -> store.note("erased", site, records, "retention"));
                return gone.values().stream().mapToInt(List::size).sum();
            });
            all += erased;
        } while (erased > 0);
        return all;
    }
}
