package airway.registry.kit;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Site;
import airway.registry.problem.Fault;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Random;
import java.util.Set;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Where an item is follows from its log. The table of moves is transcribed a second time in {@link Model}. Its rules come
 * from: semi-critical items are reprocessed between patients (Spaulding's classes, as health authorities use them); the
 * maker states how, and how often (scope of ISO 17664-1); what two people must do, and that an opened pack counts as dirty,
 * is common practice, no source.
 */
class LifeTest {
    private static final ZoneId ZONE = ZoneId.of("UTC");
    private static final Instant START = Instant.parse("2026-01-01T08:00:00Z");
    private static final LocalDate FAR = LocalDate.of(2199, 1, 1);
    private static final int LIMIT = 60;

    private static Item item(@Nullable Integer limit) {
        Site site = new Site((short) 1, "a", "A", "picu", ZONE, true);
        Kind kind = new Kind(site, UUID.randomUUID(), 1, "Straight blade, size 1", "Leaflet 7", limit, null);
        return new Item(UUID.randomUUID(), kind, "0417", null, null, null, 0);
    }

    /** The log of one item, kept in memory as the database keeps it. */
    private static final class Log {
        private final Item item;
        private final List<Move> moves = new ArrayList<>();

        Log(@Nullable Integer limit) {
            item = item(limit);
            moves.add(new Move(1, "new", State.NEW, null, Told.nothing(START), 1, START));
        }

        Life life() {
            return Life.of(moves);
        }

        /** What bars the move, or what is missing; it is made if nothing is. */
        List<String> go(State to, Told all) {
            Life life = life();
            Told told = fitting(life, to, all);
            List<String> refused = new ArrayList<>();
            Ways.bar(life, item, to).ifPresent(bar -> refused.add(bar.code()));
            if (refused.isEmpty()) {
                Ways.faults(life, to, told, told.at(), item.kind()).stream()
                        .map(Fault::code)
                        .forEach(refused::add);
            }
            if (refused.isEmpty() && Ways.needsTwo(life, to)) {
                add(Move.PROPOSED, life.state(), to, told);
                add(Move.CONFIRMED, to, null, told);
            } else if (refused.isEmpty()) {
                add(to.code(), to, null, told);
            }
            return refused;
        }

        boolean takeBack(Instant at) {
            Life before = life().before();
            if (before != null) {
                add(Move.UNDO, before.state(), null, Told.nothing(at));
            }
            return before != null;
        }

        private void add(String done, State to, @Nullable State proposes, Told told) {
            moves.add(new Move(moves.size() + 1, done, to, proposes, told, 1, told.at()));
        }
    }

    /** Everything that any move may ask, with a cycle that ended so many minutes before. */
    private static Told all(Instant at, long cycleAgo, boolean passed, String label) {
        return new Told(
                at,
                "Shelf C",
                label,
                "Sterile services",
                "C-1",
                at.minus(cycleAgo, ChronoUnit.MINUTES),
                passed,
                FAR,
                true,
                true,
                UUID.randomUUID(),
                1,
                "because");
    }

    /** Without a cycle where none is asked. */
    private static Told fitting(Life life, State to, Told all) {
        return to == State.RETURNED || to == State.IN_PROCESSING || life.state() == State.NEW
                ? all
                : new Told(
                        all.at(),
                        all.place(),
                        all.label(),
                        all.destination(),
                        null,
                        null,
                        null,
                        all.useBy(),
                        all.packWhole(),
                        all.checked(),
                        all.encounter(),
                        all.attempt(),
                        all.reason());
    }

    /** The same rules, thought anew and in another way: numbers of minutes and words alone. */
    private static final class Model {
        private static final Map<String, Set<String>> WAYS = Map.ofEntries(
                Map.entry("new", Set.of("ready", "held", "repair", "missing", "retired")),
                Map.entry("ready", Set.of("placed", "opened", "in_use", "held", "repair", "missing", "retired")),
                Map.entry("placed", Set.of("ready", "opened", "in_use", "held", "repair", "missing", "retired")),
                Map.entry("opened", Set.of("used", "in_use", "held", "repair", "missing", "retired")),
                Map.entry("in_use", Set.of("used", "held", "repair", "missing", "retired")),
                Map.entry("used", Set.of("sent", "held", "repair", "missing", "retired")),
                Map.entry("sent", Set.of("in_processing", "returned", "held", "repair", "missing", "retired")),
                Map.entry("in_processing", Set.of("returned", "held", "repair", "missing", "retired")),
                Map.entry("returned", Set.of("ready", "held", "repair", "missing", "retired")),
                Map.entry("held", Set.of("returned", "used", "repair", "missing", "retired")),
                Map.entry("repair", Set.of("returned", "used", "held", "missing", "retired")),
                Map.entry("missing", Set.of("used", "held", "repair", "retired")),
                Map.entry("retired", Set.of()));

        private String state = "new";
        private long touched = Long.MIN_VALUE;
        private long goodCycle = Long.MIN_VALUE;
        private int cycles;
        private String label = "";

        private @Nullable Runnable back;

        boolean go(String to, long now, long cycleEnded, boolean passed, String told) {
            boolean goodNow = passed && cycleEnded > touched;
            boolean goodBefore = goodCycle > touched;
            boolean away = state.equals("sent") || state.equals("in_processing");
            boolean allowed = Objects.requireNonNull(WAYS.get(state)).contains(to);
            if (to.equals("ready") && state.equals("new")) {
                allowed &= goodNow;
            } else if (to.equals("ready") && state.equals("returned")) {
                allowed &= goodBefore && cycles < LIMIT;
            } else if (to.equals("returned")) {
                allowed &= goodNow && (!away || told.equals(label));
            }
            if (!allowed) {
                return false;
            }
            String was = state;
            String labelWas = label;
            long cycleWas = goodCycle;
            int cyclesWas = cycles;
            back = Set.of("ready", "placed", "sent", "in_processing", "returned")
                            .contains(to)
                    ? () -> {
                        state = was;
                        label = labelWas;
                        goodCycle = cycleWas;
                        cycles = cyclesWas;
                    }
                    : null;
            state = to;
            if (Set.of("opened", "in_use", "used", "missing").contains(to)) {
                touched = Math.max(Math.max(now, touched), goodCycle);
            } else if (passed && (to.equals("returned") || (to.equals("ready") && was.equals("new")))) {
                goodCycle = Math.max(goodCycle, cycleEnded);
                cycles++;
            }
            label = to.equals("sent") ? told : label;
            return true;
        }

        boolean takeBack() {
            if (back == null) {
                return false;
            }
            back.run();
            back = null;
            return true;
        }

        boolean clean() {
            return goodCycle > touched;
        }
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 5, 8})
    void agreesWithAnotherModelOverTenThousandMoves(long seed) {
        Random random = new Random(seed);
        List<State> states = List.of(State.values());
        Log log = new Log(LIMIT);
        Model model = new Model();
        long minute = 0;
        int made = 0;
        int ready = 0;
        int tried = 0;
        Life life = log.life();
        while (made < 10_000) {
            tried++;
            minute += random.nextInt(3);
            // Now and then something is told late.
            long told = random.nextInt(6) == 0 ? minute - random.nextInt(10) : minute;
            Instant at = START.plus(told, ChronoUnit.MINUTES);
            if (random.nextInt(12) == 0) {
                boolean took = model.takeBack();
                assertThat(life.before() != null).isEqualTo(took);
                if (took) {
                    life = life.after(new Move(
                            life.version() + 1,
                            Move.UNDO,
                            Objects.requireNonNull(life.before()).state(),
                            null,
                            Told.nothing(at),
                            1,
                            at));
                    made++;
                }
            } else {
                // Out of use is for good, so it is left to the end of a life; the wish for a clean round comes more
                // often.
                State to = states.get(random.nextInt(states.size()));
                if (to == State.NEW || (to == State.RETIRED && life.cycles() < LIMIT && random.nextInt(2_000) > 0)) {
                    continue;
                }
                long ago = random.nextInt(8);
                boolean passed = random.nextInt(5) > 0;
                String label = "L" + random.nextInt(2);
                Told all = fitting(life, to, all(at, ago, passed, label));
                Life before = life;
                boolean refused = Ways.bar(life, log.item, to).isPresent()
                        || !Ways.faults(life, to, all, at, log.item.kind()).isEmpty();
                boolean allowed = model.go(to.code(), told, told - ago, passed, label);
                assertThat(!refused)
                        .as("%d: %s to %s", tried, before.state(), to)
                        .isEqualTo(allowed);
                if (allowed) {
                    life = life.after(new Move(life.version() + 1, to.code(), to, null, all, 1, at));
                    made++;
                    ready += to == State.READY ? 1 : 0;
                }
            }
            assertThat(life.state().code()).isEqualTo(model.state);
            assertThat(life.clean()).isEqualTo(model.clean());
            assertThat(life.cycles()).isEqualTo(model.cycles);
            if (life.state().group() == State.Group.READY) {
                assertThat(life.clean()).as("what is ready is clean").isTrue();
            }
            if (life.state() == State.RETIRED) {
                assertThat(Ways.open(life, log.item)).isEmpty();
                life = new Log(LIMIT).life();
                model = new Model();
                minute = 0;
            }
        }
        assertThat(ready).as("the walk came round").isGreaterThan(50);
    }

    /** A blade that was released, and what then happened to it, a minute apart. */
    private static Log after(State... moves) {
        Log log = new Log(null);
        assertThat(log.go(State.READY, all(START.plusSeconds(60), 1, true, "L1")))
                .isEmpty();
        int minute = 1;
        for (State to : moves) {
            minute++;
            assertThat(log.go(to, all(START.plusSeconds(60L * minute), 5_000, true, "L1")))
                    .as(to.code())
                    .isEmpty();
        }
        return log;
    }

    private static Told later(long cycleAgo) {
        return all(START.plus(1, ChronoUnit.DAYS), cycleAgo, true, "L1");
    }

    private static final long OLD = 2_000;

    @Test
    void doesNotBringBackWhatWasInUseByHoldingIt() {
        Log log = after(State.IN_USE, State.HELD);

        assertThat(log.go(State.READY, later(1))).containsExactly("way.none");
        assertThat(log.go(State.PLACED, later(1))).containsExactly("way.none");
        assertThat(log.go(State.RETURNED, later(OLD))).containsExactly("cycle.early");
        assertThat(log.go(State.RETURNED, later(1))).isEmpty();
        assertThat(log.life().clean()).isTrue();
    }

    @Test
    void doesNotBringBackWhatWasUsedByRepairingIt() {
        Log log = after(State.OPENED, State.USED, State.REPAIR);

        assertThat(log.go(State.READY, later(1))).containsExactly("way.none");
        assertThat(log.go(State.RETURNED, later(OLD))).containsExactly("cycle.early");
        assertThat(log.go(State.USED, later(1))).isEmpty();
    }

    @Test
    void treatsWhatWasMissingAsDirtyWhicheverWayItIsFound() {
        Log log = after(State.MISSING);

        assertThat(log.go(State.READY, later(1))).containsExactly("way.none");
        assertThat(log.go(State.REPAIR, later(1))).isEmpty();
        assertThat(log.go(State.RETURNED, later(OLD))).containsExactly("cycle.early");
    }

    @Test
    void doesNotTakeBackThatAPackWasOpenedOrAnItemHeldOrRetired() {
        for (State to : List.of(State.OPENED, State.IN_USE, State.MISSING, State.HELD, State.REPAIR, State.RETIRED)) {
            assertThat(after(to).takeBack(START.plusSeconds(999))).as(to.code()).isFalse();
        }
        Log placed = after(State.PLACED);
        assertThat(placed.takeBack(START.plusSeconds(999))).isTrue();
        assertThat(placed.life().state()).isEqualTo(State.READY);
        assertThat(placed.takeBack(START.plusSeconds(999))).as("only once").isFalse();
    }

    @Test
    void takesACycleOnlyWhenItEndedAfterTheItemWasLastDirtyToTheMinute() {
        Log log = after(State.OPENED, State.USED, State.SENT);
        Instant used = START.plusSeconds(180);

        Instant back = used.plusSeconds(3_600);
        assertThat(log.go(State.RETURNED, all(back, 60, true, "L1"))).containsExactly("cycle.early");
        assertThat(log.go(State.RETURNED, all(back, 59, true, "L1"))).isEmpty();
    }

    @Test
    void countsAUseThatIsToldLateAsLaterThanTheCycleThatWasEnteredBefore() {
        Log log = after(State.OPENED, State.USED, State.SENT);
        assertThat(log.go(State.RETURNED, later(1))).isEmpty();
        assertThat(log.go(State.READY, later(1))).isEmpty();

        assertThat(log.go(State.IN_USE, all(START.plusSeconds(600), 1, true, "L1")))
                .isEmpty();
        assertThat(log.life().clean()).isFalse();
        assertThat(log.life().dirtyAt()).isEqualTo(later(1).cycleEndedAt());
    }

    @Test
    void letsAHeldItemThatWasNeverDirtySinceBackWithoutAnotherCycle() {
        Log log = after(State.HELD);
        Told told = new Told(
                START.plusSeconds(999), null, null, null, null, null, null, null, null, null, null, null, null);

        assertThat(log.go(State.RETURNED, told)).isEmpty();
        assertThat(log.life().cycles()).isEqualTo(1);
        assertThat(log.go(State.READY, later(1))).isEmpty();
    }

    @Test
    void remembersThatWhatWentMissingHadBeenHeld() {
        Log log = after(State.HELD, State.MISSING);

        assertThat(Ways.needsTwo(log.life(), State.USED)).isTrue();
        assertThat(log.go(State.USED, later(1))).isEmpty();
        assertThat(log.life().onHold()).isFalse();
    }

    @Test
    void releasesAnItemForTheFirstTimeByTwoWhicheverWayItCame() {
        Log log = new Log(null);
        assertThat(log.go(State.HELD, later(1))).isEmpty();
        assertThat(log.go(State.RETURNED, later(1))).isEmpty();

        assertThat(Ways.needsTwo(log.life(), State.READY)).isTrue();
    }

    @Test
    void sendsOutOfUseWhatHasReachedTheCyclesItsMakerAllows() {
        Log log = new Log(1);
        assertThat(log.go(State.HELD, later(1))).isEmpty();
        assertThat(log.go(State.RETURNED, later(1))).isEmpty();

        assertThat(log.go(State.READY, later(1))).containsExactly("cycles.spent");
        assertThat(log.go(State.RETIRED, later(1))).isEmpty();
        assertThat(Ways.open(log.life(), log.item)).isEmpty();
    }

    @Test
    void lapsesAProposalWhenSomethingElseIsDone() {
        Log log = after();
        Life life = log.life().after(new Move(3, Move.PROPOSED, State.READY, State.RETIRED, later(1), 1, START));
        assertThat(life.proposal()).isNotNull();
        assertThat(life.state()).isEqualTo(State.READY);

        assertThat(life.after(new Move(4, "placed", State.PLACED, null, later(1), 1, START))
                        .proposal())
                .isNull();
    }
}
