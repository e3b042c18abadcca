package airway.registry.audit;

import airway.registry.database.ActorTransactions;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Semaphore;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;

/** The chain over the audit: how far it reaches, and whether it holds. */
@Component
public class Chain {
    private final ActorTransactions transactions;
    private final HeadFile heads;
    private final Clock clock;
    private final Semaphore one = new Semaphore(1);

    Chain(ActorTransactions transactions, HeadFile heads, Clock clock) {
        this.transactions = transactions;
        this.heads = heads;
        this.clock = clock;
    }

    /**
     * The state of the chain, without verifying it.
     *
     * @param head the last head kept outside; null where there is none
     * @param check when it was last verified; null where it never was
     */
    record State(
            long sealed,
            long unsealed,
            @Nullable Head head,
            @Nullable LastCheck check) {}

    State state() {
        Head head = heads.last().orElse(null);
        return transactions.read(dsl -> {
            ChainQuery query = new ChainQuery(dsl);
            return new State(
                    new SealStore(dsl).last().map(Seal::seq).orElse(0L),
                    query.unsealed(),
                    head,
                    query.lastCheck().orElse(null));
        });
    }

    /**
     * Walks the whole chain and compares the heads outside, all as it is at one moment, and writes down that this was
     * done and what it gave. The time grows with the chain; memory does not.
     *
     * @throws Problem.Conflict while another verification of this instance runs
     */
    public Checked verify() {
        if (!one.tryAcquire()) {
            throw new Problem.Conflict("The audit is being verified at this moment; look again in a while.", List.of());
        }
        try {
            Checked checked = check();
            transactions.write(dsl -> {
                new ChainQuery(dsl).note(LastCheck.of(clock.instant(), checked));
                return checked;
            });
            return checked;
        } finally {
            one.release();
        }
    }

    private Checked check() {
        // Before the database: a head names a seal that was committed by then, so it must be seen.
        List<HeadFile.Line> lines = heads.lines();
        ChainWalk walk = new ChainWalk(lines);
        return transactions.read(dsl -> {
            ChainQuery query = new ChainQuery(dsl);
            query.walk(walk);
            List<ChainFault> faults = new ArrayList<>(walk.faults());
            query.neverSealed().ifPresent(entry -> faults.add(new ChainFault(ChainFault.Kind.NEVER_SEALED, entry, 0)));
            query.waitingMissing()
                    .ifPresent(entry -> faults.add(new ChainFault(ChainFault.Kind.WAITING_MISSING, entry, 0)));
            Optional<Head> last = lines.stream()
                    .flatMap(line -> Optional.ofNullable(line.head()).stream())
                    .reduce((before, after) -> after);
            return new Checked(
                    new SealStore(dsl).last().map(Seal::seq).orElse(0L),
                    query.unsealed(),
                    last.orElse(null),
                    (int) lines.stream().filter(HeadFile.Line::broken).count(),
                    List.copyOf(faults));
        });
    }
}
