package airway.registry.kit;

import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import java.time.Clock;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;

/**
 * The kit of the units. Nothing about an item is edited: each move adds a line to its log, and where it is follows from
 * the log. Whoever moves an item says which line they have seen last; of two who take the same, one is told where it is.
 */
@Component
class Kit {
    private static final int MOST_ITEMS = 100;
    private static final int MOST_MOVES = 1_000_000_000;

    private final ActorTransactions transactions;
    private final Clock clock;

    Kit(ActorTransactions transactions, Clock clock) {
        this.transactions = transactions;
        this.clock = clock;
    }

    /** The kinds of a unit as they are now. */
    List<Kind> kinds(Site site) {
        return transactions.read(dsl -> new KitQuery(dsl).kinds(site));
    }

    /**
     * A kind as it is now.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    Kind kind(UUID id) {
        return transactions.read(dsl -> new KitQuery(dsl).kind(id));
    }

    /** The items of a unit, those out of use among them. */
    List<Traced> items(Site site) {
        return transactions.read(dsl -> new KitQuery(dsl).items(site));
    }

    /**
     * An item.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    Traced item(UUID id) {
        return transactions.read(dsl -> new KitQuery(dsl).item(id));
    }

    /**
     * Adds a kind.
     *
     * @param body {@code {site_id?, title, instructions?, cycle_limit?, least_ready?}}
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid with every fault
     * @throws Problem.Conflict if the unit has a kind of this title
     */
    Kind addKind(JsonNode body) {
        return transactions.write(dsl -> {
            Site site = Sites.inBody(dsl, body);
            Kind kind = ItemForm.kind(body, site, null);
            return kept(dsl, kind);
        });
    }

    /**
     * Makes the next version of a kind.
     *
     * @param seen the version that the one who amends has read
     * @throws Problem.Stale if another version counts by now
     * @throws Problem as {@link #addKind}
     */
    Kind amendKind(UUID id, int seen, JsonNode body) {
        return transactions.write(dsl -> {
            KitQuery query = new KitQuery(dsl);
            new KitStore(dsl).hold(query.kind(id).site());
            Kind before = query.kind(id);
            if (before.version() != seen) {
                throw new Problem.Stale("\"v" + before.version() + "\"");
            }
            return kept(dsl, ItemForm.kind(body, before.site(), before));
        });
    }

    private static Kind kept(DSLContext dsl, Kind kind) {
        KitStore store = new KitStore(dsl);
        store.hold(kind.site());
        if (new KitQuery(dsl)
                .kinds(kind.site()).stream()
                        .anyMatch(other ->
                                !other.id().equals(kind.id()) && other.title().equals(kind.title()))) {
            throw new Problem.Conflict(
                    "The unit has a kind of this title already.",
                    List.of(Fault.at("/title", "kind.there", "Use the one that is there, or give another title.")));
        }
        store.insert(kind);
        return kind;
    }

    /**
     * Enters an item; it is new, and not released.
     *
     * @param body {@code {site_id?, kind, name, gtin?, serial?, giai?, cycles_before, place?}}
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid with every fault
     * @throws Problem.Conflict if the unit has an item of this number or mark
     */
    Traced addItem(JsonNode body) {
        return transactions.write(dsl -> {
            Site site = Sites.inBody(dsl, body);
            KitQuery query = new KitQuery(dsl);
            KitStore store = new KitStore(dsl);
            store.hold(site);
            ItemForm.Entered entered = ItemForm.item(body, query.kinds(site));
            Item item = entered.item();
            for (Traced other : query.items(site)) {
                if (other.item().name().equals(item.name())) {
                    throw there("/name");
                } else if (item.gtin() != null
                        && item.gtin().equals(other.item().gtin())
                        && Objects.equals(item.serial(), other.item().serial())) {
                    throw there("/serial");
                } else if (item.giai() != null
                        && item.giai().equals(other.item().giai())) {
                    throw there("/giai");
                }
            }
            store.insert(item, placed(entered.place()));
            return query.item(item.id());
        });
    }

    private Told placed(@Nullable String place) {
        return new Told(now(), place, null, null, null, null, null, null, null, null, null, null, null);
    }

    private static Problem.Conflict there(String pointer) {
        return new Problem.Conflict(
                "The unit has this item already.",
                List.of(Fault.at(pointer, "item.there", "Look at the number again; each item is entered once.")));
    }

    /**
     * Moves an item. What two people must do is proposed by the first and done once the second confirms.
     *
     * @param body {@code {move, seen, at?}} and what the move asks
     * @throws Problem.ItemMoved if somebody moved it since
     * @throws Problem.NoSuchMove if it cannot go there from where it is
     * @throws Problem.NotAllowed if it is another's to do
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid with every fault
     */
    Traced move(UUID id, JsonNode body) {
        return transactions.write(dsl -> {
            KitQuery query = new KitQuery(dsl);
            Site site = query.item(id).kind().site();
            new KitStore(dsl).hold(site);
            move(dsl, query.item(id), MoveForm.read(body, now(), site.zone()), List.of(id));
            return query.item(id);
        });
    }

    /**
     * Sends several used items under one tracking label: all of them, or none.
     *
     * @param body {@code {site_id?, label, destination, items: [{item_id, seen}]}}
     * @throws Problem as {@link #move}
     */
    List<Traced> send(JsonNode body) {
        return transactions.write(dsl -> {
            Site site = Sites.inBody(dsl, body);
            JsonFields fields = JsonFields.of(body, Set.of("site_id", "label", "destination", "items"));
            String label = MoveForm.number(fields, "label", MoveForm.LONGEST_NAME);
            String destination = fields.text("destination", MoveForm.LONGEST_PLACE);
            Batch batch = batch(body, fields);
            fields.check();
            new KitStore(dsl).hold(site);
            Told told = new Told(now(), null, label, destination, null, null, null, null, null, null, null, null, null);
            return batch.go(dsl, site, State.SENT, told, this::move);
        });
    }

    /**
     * Takes several items back that went under one tracking label: all of them, or none. They wait for the check; where the
     * cycle failed they are held.
     *
     * @param body {@code {site_id?, label, cycle, cycle_ended_at, cycle_passed, use_by?, place?, items: [{item_id, seen}]}}
     * @throws Problem as {@link #move}
     */
    List<Traced> takeBack(JsonNode body) {
        return transactions.write(dsl -> {
            Site site = Sites.inBody(dsl, body);
            JsonFields fields = JsonFields.of(
                    body,
                    Set.of("site_id", "label", "cycle", "cycle_ended_at", "cycle_passed", "use_by", "place", "items"));
            Told told = MoveForm.cycle(fields, now(), site.zone());
            Batch batch = batch(body, fields);
            fields.check();
            new KitStore(dsl).hold(site);
            return batch.go(
                    dsl,
                    site,
                    Boolean.FALSE.equals(told.cyclePassed()) ? State.HELD : State.RETURNED,
                    told,
                    this::move);
        });
    }

    /** How one of several is moved. */
    private interface Moving {
        void move(DSLContext dsl, Traced item, MoveForm.Asked asked, List<UUID> together);
    }

    /** Items that are moved together, each with the version that was seen. */
    private record Batch(List<UUID> ids, List<Integer> seen) {
        List<Traced> go(DSLContext dsl, Site site, State to, Told told, Moving moving) {
            KitQuery query = new KitQuery(dsl);
            for (int i = 0; i < ids.size(); i++) {
                Traced item = query.item(ids.get(i));
                if (!item.kind().site().equals(site)) {
                    throw new Problem.Missing("item");
                }
                moving.move(dsl, item, new MoveForm.Asked(to.code(), seen.get(i), told), ids);
            }
            return ids.stream().map(query::item).toList();
        }
    }

    private static Batch batch(JsonNode body, JsonFields fields) {
        List<UUID> ids = new ArrayList<>();
        List<Integer> seen = new ArrayList<>();
        JsonNode items = body.path("items");
        if (!items.isArray() || items.isEmpty() || items.size() > MOST_ITEMS) {
            fields.fault("items", "required", "Name the items, from 1 to " + MOST_ITEMS + ".");
        } else {
            for (JsonNode one : items) {
                JsonFields item = JsonFields.of(one, Set.of("item_id", "seen"));
                Integer version = item.needed(
                        "seen", item.whole("seen", 1, MOST_MOVES), "Send the version of the item you have seen.");
                item.check();
                ids.add(Key.of(one.path("item_id").asString(""), "item"));
                seen.add(Objects.requireNonNull(version));
            }
        }
        return new Batch(ids, seen);
    }

    private void move(DSLContext dsl, Traced item, MoveForm.Asked asked, List<UUID> together) {
        Life life = item.life();
        if (asked.seen() != life.version()) {
            throw new Problem.ItemMoved(life.state().code(), life.state().words(), life.version());
        }
        switch (asked.done()) {
            case Move.UNDO -> takeBack(dsl, item, asked.told());
            case Move.CONFIRMED -> confirm(dsl, item);
            case Move.WIPED -> wipe(dsl, item, asked.told());
            default -> go(dsl, item, State.of(asked.done()).orElseThrow(), asked.told(), together);
        }
    }

    private void go(DSLContext dsl, Traced item, State to, Told told, List<UUID> together) {
        check(dsl, item, to, told, "/move");
        if (to == State.SENT) {
            labelIsFree(dsl, item, told, together);
        }
        KitStore store = new KitStore(dsl);
        if (Ways.needsTwo(item.life(), to)) {
            store.insert(item, Move.PROPOSED, to, item.life().state(), told, null);
        } else {
            store.insert(item, to.code(), null, to, told, null);
        }
    }

    private void check(DSLContext dsl, Traced item, State to, Told told, String pointer) {
        Life life = item.life();
        may(dsl, item, Ways.right(life, to));
        Optional<Ways.Bar> bar = Ways.bar(life, item.item(), to);
        if (bar.isPresent()) {
            throw new Problem.NoSuchMove(
                    life.state().words(),
                    Fault.at(pointer, bar.get().code(), bar.get().mend()));
        }
        List<Fault> faults = Ways.faults(life, to, told, now(), item.kind());
        if (!faults.isEmpty()) {
            throw new Problem.Invalid(faults);
        }
    }

    private void takeBack(DSLContext dsl, Traced item, Told told) {
        may(dsl, item, Right.KEEP_KIT);
        Life before = item.life().before();
        if (before == null) {
            throw new Problem.NoSuchMove(
                    item.life().state().words(),
                    Fault.at(
                            "/move",
                            "undo.none",
                            "This move is not taken back: go on from here by the ways there are."));
        }
        if (told.reason() == null) {
            throw new Problem.Invalid(Fault.at("/reason", "required", "Write why the move is taken back."));
        }
        new KitStore(dsl).insert(item, Move.UNDO, null, before.state(), told, null);
    }

    private void confirm(DSLContext dsl, Traced item) {
        Move proposal = item.life().proposal();
        if (proposal == null) {
            throw new Problem.NoSuchMove(
                    item.life().state().words(),
                    Fault.at("/move", "proposal.none", "Nothing waits for a second person here."));
        }
        State to = Objects.requireNonNull(proposal.proposes());
        check(dsl, item, to, proposal.told(), "/move");
        if (proposal.by() == Acting.current().actor()) {
            throw new Problem.NotAllowed("This needs a second person with an account of their own.");
        }
        new KitStore(dsl).insert(item, Move.CONFIRMED, null, to, proposal.told(), proposal.by());
    }

    /** A wiping is a cycle that passed when it was done; the check comes after it, as after any other. */
    private void wipe(DSLContext dsl, Traced item, Told told) {
        may(dsl, item, Right.USE_KIT);
        Life life = item.life();
        Optional<Ways.Bar> bar = Ways.wipingBar(life, item.kind());
        if (bar.isPresent()) {
            throw new Problem.NoSuchMove(
                    life.state().words(),
                    Fault.at("/move", bar.get().code(), bar.get().mend()));
        }
        List<Fault> faults = Ways.wipingFaults(life, told, now());
        if (!faults.isEmpty()) {
            throw new Problem.Invalid(faults);
        }
        new KitStore(dsl).insert(item, Move.WIPED, null, State.RETURNED, told.wiped(), null);
    }

    private static void may(DSLContext dsl, Traced item, Right right) {
        if (!Sites.may(dsl, item.kind().site().no(), right)) {
            throw new Problem.NotAllowed("This move is made by somebody with another role: " + right.words() + ".");
        }
    }

    /** A label that is still away with something else would mix what came from two sendings. */
    private static void labelIsFree(DSLContext dsl, Traced item, Told told, List<UUID> together) {
        boolean open = new KitQuery(dsl)
                .items(item.kind().site()).stream()
                        .anyMatch(other -> !together.contains(other.item().id())
                                && other.life().state().group() == State.Group.AWAY
                                && Objects.equals(other.life().label(), told.label()));
        if (open) {
            throw new Problem.NoSuchMove(
                    item.life().state().words(),
                    Fault.at("/label", "label.open", "Something is away under this label; use another one."));
        }
    }

    /** The database keeps microseconds. */
    Instant now() {
        return clock.instant().truncatedTo(ChronoUnit.MICROS);
    }
}
