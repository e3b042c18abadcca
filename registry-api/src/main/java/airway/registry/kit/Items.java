package airway.registry.kit;

import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.LocalDate;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import org.springframework.stereotype.Component;

/** What the pages of single items ask: which item a label names, what happened to it, what the one who looks can do. */
@Component
class Items {
    private final ActorTransactions transactions;
    private final Clock clock;

    Items(ActorTransactions transactions, Clock clock) {
        this.transactions = transactions;
        this.clock = clock;
    }

    /**
     * An item as its page shows it.
     *
     * @param movers who entered its moves, by version
     * @param places where items of the unit were put lately, by the state they went into
     * @param rights what the one who looks may do in its unit
     * @param me the one who looks
     */
    record Shown(
            Traced traced,
            Map<Integer, ItemQuery.Mover> movers,
            Map<State, List<String>> places,
            Set<Right> rights,
            int me) {}

    /** The item of a unit that a label names, as scanned or typed. */
    Optional<UUID> find(Site site, String label) {
        return transactions.read(dsl -> new ItemQuery(dsl).find(site, label, LocalDate.now(clock)));
    }

    /** Where items of a unit were put lately, by the state they went into; the latest first. */
    Map<State, List<String>> places(Site site) {
        return transactions.read(dsl -> new ItemQuery(dsl).places(site));
    }

    /**
     * An item with what its page says.
     *
     * @throws Problem.Missing if there is none in the units of the one who asks
     */
    Shown shown(UUID id) {
        return transactions.read(dsl -> {
            Traced traced = new KitQuery(dsl).item(id);
            Site site = traced.kind().site();
            ItemQuery query = new ItemQuery(dsl);
            Set<Right> rights = EnumSet.noneOf(Right.class);
            for (Right right : List.of(Right.RECORD, Right.USE_KIT, Right.HOLD_KIT, Right.KEEP_KIT)) {
                if (Sites.may(dsl, site.no(), right)) {
                    rights.add(right);
                }
            }
            return new Shown(
                    traced,
                    query.movers(traced.item()),
                    query.places(site),
                    rights,
                    Acting.current().actor());
        });
    }
}
