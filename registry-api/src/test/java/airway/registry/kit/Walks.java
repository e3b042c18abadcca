package airway.registry.kit;

import airway.sql.Login;
import airway.sql.Sql;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.sql.Timestamp;
import java.time.Instant;
import java.time.LocalDate;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Random;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/** Invented lives of items, each move of them allowed by the rules, and their way into a database. */
final class Walks {
    private static final List<State> STATES = List.of(State.values());
    private static final LocalDate FAR = LocalDate.of(2030, 1, 1);

    private final Random random;
    private final List<UUID> encounters;
    private final Instant begin;
    private final int first;
    private final int second;

    /**
     * @param encounters records that a use may name; none where uses name none
     * @param first who moves
     * @param second who confirms
     */
    Walks(long seed, List<UUID> encounters, Instant begin, int first, int second) {
        this.random = new Random(seed);
        this.encounters = encounters;
        this.begin = begin;
        this.first = first;
        this.second = second;
    }

    /** A life of so many lines; it is put out of use now and then, and then ends. */
    List<Move> walk(Item item, int lines) {
        List<Move> log = new ArrayList<>();
        log.add(new Move(1, "new", State.NEW, null, Told.nothing(begin), first, begin));
        long minute = 1;
        while (log.size() < lines) {
            Life life = Life.of(log);
            if (life.state() == State.RETIRED) {
                break;
            }
            minute += random.nextInt(40);
            Instant at = begin.plus(random.nextInt(8) == 0 ? minute - random.nextInt(30) : minute, ChronoUnit.MINUTES);
            if (random.nextInt(9) == 0) {
                Life before = life.before();
                if (before != null) {
                    log.add(new Move(log.size() + 1, Move.UNDO, before.state(), null, because(at), first, at));
                }
                continue;
            }
            State to = wish(life);
            Told told = told(life, to, at);
            if (to == State.NEW
                    || Ways.bar(life, item, to).isPresent()
                    || !Ways.faults(life, to, told, at, item.kind()).isEmpty()) {
                continue;
            }
            if (Ways.needsTwo(life, to)) {
                log.add(new Move(log.size() + 1, Move.PROPOSED, life.state(), to, told, first, at));
                if (random.nextInt(5) > 0) {
                    log.add(new Move(log.size() + 1, Move.CONFIRMED, to, null, told, second, at));
                }
            } else {
                log.add(new Move(log.size() + 1, to.code(), to, null, told, first, at));
            }
        }
        return log;
    }

    /** Mostly the next thing on a round, so that items come round often. */
    private State wish(Life life) {
        if (random.nextInt(5) == 0) {
            State any = STATES.get(random.nextInt(STATES.size()));
            return any == State.RETIRED && random.nextInt(10) > 0 ? State.HELD : any;
        }
        return switch (life.state()) {
            case NEW, RETURNED -> State.READY;
            case READY -> random.nextBoolean() ? State.PLACED : State.IN_USE;
            case PLACED -> random.nextInt(4) > 0 ? State.IN_USE : State.OPENED;
            case OPENED, IN_USE, MISSING -> State.USED;
            case USED -> State.SENT;
            case SENT -> random.nextBoolean() ? State.IN_PROCESSING : State.RETURNED;
            case IN_PROCESSING, HELD, REPAIR -> State.RETURNED;
            case RETIRED -> State.RETIRED;
        };
    }

    private static Told because(Instant at) {
        return new Told(at, null, null, null, null, null, null, null, null, null, null, null, "because");
    }

    private Told told(Life life, State to, Instant at) {
        boolean cycle =
                to == State.RETURNED || to == State.IN_PROCESSING || (to == State.READY && life.state() == State.NEW);
        boolean finished = cycle && to != State.IN_PROCESSING;
        boolean passed = random.nextInt(6) > 0;
        boolean use = to == State.IN_USE && !encounters.isEmpty();
        String place = random.nextInt(3) == 0
                ? null
                : List.of("Shelf C", "Trolley 1, drawer 2", "Box").get(random.nextInt(3));
        return new Told(
                at,
                to == State.PLACED ? "Trolley " + (1 + random.nextInt(2)) + ", drawer 2" : place,
                to == State.SENT
                        ? "L" + random.nextInt(20)
                        : (to == State.RETURNED && life.state().group() == State.Group.AWAY) ? life.label() : null,
                to == State.SENT ? "Sterile services" : null,
                cycle ? "C-" + random.nextInt(30) : null,
                finished ? at.minus(random.nextInt(3), ChronoUnit.MINUTES) : null,
                finished ? passed : null,
                (to == State.RETURNED || to == State.READY) ? FAR.plusDays(random.nextInt(30)) : null,
                to == State.PLACED ? true : null,
                to == State.READY ? true : null,
                use ? encounters.get(random.nextInt(encounters.size())) : null,
                use ? 1 : null,
                "because");
    }

    /** Writes a kind, its items and their lives as the application does, in the scope of their unit. */
    static void keep(Login app, Kind kind, List<Item> items, List<List<Move>> logs, int actor) throws SQLException {
        short site = kind.site().no();
        try (Connection connection = Sql.connect(app)) {
            connection.setAutoCommit(false);
            act(connection, actor, site);
            Sql.execute(
                    connection,
                    "insert into kit.kind (site_id, kind_id, version, status, title, instructions) values (" + site
                            + ", '" + kind.id() + "', 1, 'final', '" + kind.title() + "', 'Leaflet 7')");
            for (int i = 0; i < items.size(); i++) {
                Item item = items.get(i);
                Sql.execute(
                        connection,
                        "insert into kit.item (site_id, item_id, kind_id, name, cycles_before) values (" + site + ", '"
                                + item.id() + "', '" + kind.id() + "', '" + item.name() + "', 0)");
                State before = null;
                int proposer = 0;
                for (Move move : logs.get(i)) {
                    act(connection, move.by(), site);
                    insert(connection, site, item, move, before, proposer);
                    before = move.to();
                    proposer = move.by();
                }
            }
            connection.commit();
        }
    }

    private static void act(Connection connection, int actor, short site) throws SQLException {
        Sql.execute(
                connection,
                "select set_config('airway.actor', '" + actor + "', true), set_config('airway.sites', '" + site
                        + "', true)");
    }

    private static void insert(
            Connection connection, short site, Item item, Move move, @Nullable State before, int proposer)
            throws SQLException {
        Told told = move.told();
        try (PreparedStatement insert = connection.prepareStatement("insert into kit.move (site_id, item_id, version,"
                + " move, proposes, from_state, to_state, moved_at, place, label, destination, cycle, cycle_ended_at,"
                + " cycle_passed, use_by, pack_whole, checked, encounter_id, attempt_no, reason, proposed_by)"
                + " values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")) {
            Object[] values = {
                site,
                item.id(),
                move.version(),
                move.done(),
                move.proposes() == null ? null : move.proposes().code(),
                before == null ? null : before.code(),
                move.to().code(),
                Timestamp.from(told.at()),
                told.place(),
                told.label(),
                told.destination(),
                told.cycle(),
                told.cycleEndedAt() == null ? null : Timestamp.from(told.cycleEndedAt()),
                told.cyclePassed(),
                told.useBy(),
                told.packWhole(),
                told.checked(),
                told.encounter(),
                told.attempt(),
                told.reason(),
                move.done().equals(Move.CONFIRMED) ? proposer : null
            };
            for (int i = 0; i < values.length; i++) {
                insert.setObject(i + 1, values[i]);
            }
            insert.executeUpdate();
        }
    }

    static UUID key(int no) {
        return Objects.requireNonNull(UUID.fromString(String.format("00000000-0000-4000-8000-%012d", no)));
    }
}
