package airway.registry.research;

import airway.registry.problem.Problem;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Consumer;

/** How far a package is that is being made. Whoever makes it tells every row; whoever waits may look, and cancel. */
final class Making {
    private static final int ROWS_BETWEEN_WORDS = 50_000;

    private final long of;
    private final Consumer<String> told;
    private volatile Stage stage = Stage.READING;
    private final AtomicLong done = new AtomicLong();
    private volatile boolean cancelled;

    /** What is being done. */
    enum Stage {
        READING("Reading the records"),
        JUDGING("Judging whether a child stands out"),
        WRITING("Writing the rows");

        private final String words;

        Stage(String words) {
            this.words = words;
        }

        String code() {
            return name().toLowerCase(Locale.ROOT);
        }
    }

    /**
     * A package that is begun.
     *
     * @param of records that it is made of
     * @param told hears of it now and then
     */
    Making(long of, Consumer<String> told) {
        this.of = of;
        this.told = told;
    }

    /** Records that it is made of. */
    long of() {
        return of;
    }

    /** Records or rows that this stage is through with. */
    long done() {
        return done.get();
    }

    Stage stage() {
        return stage;
    }

    /**
     * Begins a stage.
     *
     * @throws Problem.Cancelled if it was cancelled
     */
    void begin(Stage next) {
        stage = next;
        done.set(0);
        tell();
        check();
    }

    /**
     * Is through with one more.
     *
     * @throws Problem.Cancelled if it was cancelled
     */
    void one() {
        if (done.incrementAndGet() % ROWS_BETWEEN_WORDS == 0) {
            tell();
        }
        check();
    }

    /** Whoever makes it stops at the next row. */
    void cancel() {
        cancelled = true;
    }

    /** How far it is, as a sentence. */
    String words() {
        return stage.words + ": " + done + " of " + of + ".";
    }

    private void tell() {
        told.accept(words());
    }

    private void check() {
        if (cancelled) {
            throw new Problem.Cancelled();
        }
    }
}
