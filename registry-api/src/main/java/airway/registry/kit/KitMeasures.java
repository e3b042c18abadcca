package airway.registry.kit;

import airway.registry.access.Site;
import airway.registry.database.ActorTransactions;
import java.time.Clock;
import org.springframework.stereotype.Component;

/** The measures of the kit. */
@Component
class KitMeasures {
    static final int MONTHS = 12;

    private final ActorTransactions transactions;
    private final Clock clock;

    KitMeasures(ActorTransactions transactions, Clock clock) {
        this.transactions = transactions;
        this.clock = clock;
    }

    /** Of a unit, the last twelve months. */
    KitCounts of(Site site) {
        return transactions.read(dsl -> new KitCountQuery(dsl, site).counts(clock.instant(), MONTHS));
    }
}
