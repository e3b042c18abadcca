package airway.registry.audit;

import airway.registry.database.Acting;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.context.SmartLifecycle;
import org.springframework.stereotype.Component;

/**
 * Seals while the registry serves, once a second and a last time when it stops, and keeps heads outside the database: at
 * the start, each hour if something was sealed, and at the stop. No other command seals.
 */
@Component
@ConditionalOnWebApplication
class Sealing implements SmartLifecycle {
    private static final Logger LOG = LoggerFactory.getLogger(Sealing.class);
    private static final Duration HEADS_EVERY = Duration.ofHours(1);
    private static final long PATIENCE_S = 15;

    private final Sealer sealer;
    private final HeadFile heads;
    private final Clock clock;

    private CountDownLatch stop = new CountDownLatch(1);
    private @Nullable Thread thread;
    private @Nullable Head kept;
    private boolean troubled;

    Sealing(Sealer sealer, HeadFile heads, Clock clock) {
        this.sealer = sealer;
        this.heads = heads;
        this.clock = clock;
    }

    @Override
    public synchronized void start() {
        CountDownLatch ended = new CountDownLatch(1);
        stop = ended;
        kept = null;
        thread = new Thread(() -> run(ended), "audit-sealing");
        thread.setDaemon(true);
        thread.start();
    }

    /** After the web has let go of its last request, and before the database is left. */
    @Override
    public int getPhase() {
        return DEFAULT_PHASE - 4096;
    }

    @Override
    public synchronized void stop() {
        stop.countDown();
        Thread running = thread;
        thread = null;
        if (running != null) {
            try {
                running.join(TimeUnit.SECONDS.toMillis(PATIENCE_S));
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
            }
        }
    }

    @Override
    public synchronized boolean isRunning() {
        return thread != null;
    }

    private void run(CountDownLatch ended) {
        try {
            do {
                once(false);
            } while (!ended.await(1, TimeUnit.SECONDS));
            once(true);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    /** One round. What goes wrong is said once, and tried again in the next. */
    void once(boolean last) {
        try {
            Optional<Seal> newest = Acting.asProgram(sealer::seal);
            if (newest.isPresent() && due(newest.get(), last)) {
                keep(newest.get());
            }
            troubled = false;
        } catch (RuntimeException e) {
            if (!troubled) {
                LOG.warn(
                        "the audit cannot be sealed, or its head not kept, at present: {}",
                        e.getClass().getName());
                LOG.debug("sealing", e);
            }
            troubled = true;
        }
    }

    private boolean due(Seal newest, boolean last) {
        Head before = kept;
        if (before == null) {
            return true;
        }
        Instant next = before.at().plus(HEADS_EVERY);
        return last || (newest.seq() > before.seq() && !clock.instant().isBefore(next));
    }

    private void keep(Seal seal) {
        Head head = new Head(seal.seq(), seal.hash(), clock.instant().truncatedTo(ChronoUnit.SECONDS));
        heads.add(head);
        kept = head;
    }
}
