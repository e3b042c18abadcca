package airway.registry.audit;

import airway.registry.database.ActorTransactions;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.springframework.stereotype.Component;

/** Chains committed entries of the audit. Any number of instances may do it: one at a time does, the others leave it. */
@Component
class Sealer {
    /** How many entries are in memory at once. */
    private static final int BATCH = 1_000;

    private final ActorTransactions transactions;

    Sealer(ActorTransactions transactions) {
        this.transactions = transactions;
    }

    /** Seals everything that waits, in transactions of a thousand entries; gives the newest seal there is. */
    Optional<Seal> seal() {
        Batch batch;
        do {
            batch = transactions.write(dsl -> batch(new SealStore(dsl)));
        } while (batch.full() && !Thread.currentThread().isInterrupted());
        return batch.newest();
    }

    private record Batch(Optional<Seal> newest, boolean full) {}

    private static Batch batch(SealStore store) {
        boolean mine = store.hold();
        // Read after the lock: what another instance sealed before is seen, and the chain goes on from there.
        Optional<Seal> newest = store.last();
        List<Entry> waiting = mine ? store.waiting(BATCH) : List.of();
        if (waiting.isEmpty()) {
            return new Batch(newest, false);
        }
        List<Seal> seals = new ArrayList<>();
        for (Entry entry : waiting) {
            long seq = newest.map(Seal::seq).orElse(0L) + 1;
            Seal seal = entry.seal(seq, newest.map(Seal::hash).orElse(null));
            seals.add(seal);
            newest = Optional.of(seal);
        }
        store.insert(seals);
        return new Batch(newest, waiting.size() == BATCH);
    }
}
