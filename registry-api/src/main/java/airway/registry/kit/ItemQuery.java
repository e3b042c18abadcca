package airway.registry.kit;

import static airway.sql.generated.kit.Tables.ITEM;
import static airway.sql.generated.kit.Tables.MOVE;
import static airway.sql.generated.kit.Tables.MOVERS;

import airway.registry.access.Role;
import airway.registry.access.Site;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import java.util.stream.Collectors;
import org.jooq.Condition;
import org.jooq.DSLContext;
import org.jooq.impl.DSL;

/** Finds an item by what stands on it, and what its page says beside its log, in a running transaction. */
final class ItemQuery {
    /** As many places as are offered to be tapped. */
    private static final int MOST_PLACES = 6;

    private final DSLContext dsl;

    ItemQuery(DSLContext dsl) {
        this.dsl = dsl;
    }

    /**
     * The item that a label names: by the number on it as it stands there, else by its mark (GTIN with serial number, or
     * asset number) as scanned.
     *
     * @param today decides what a scan may be
     */
    Optional<UUID> find(Site site, String label, LocalDate today) {
        Optional<UUID> named = one(site, ITEM.NAME.eq(label.strip()));
        return named.isPresent() ? named : marked(site, Scan.read(label, today));
    }

    private Optional<UUID> marked(Site site, Scan scan) {
        Map<String, String> elements =
                scan.elements().stream().collect(Collectors.toMap(Scan.Element::ai, Scan.Element::value));
        String giai = elements.get("8004");
        String gtin = elements.get("01");
        String serial = elements.get("21");
        if (giai != null) {
            return one(site, ITEM.GIAI.eq(giai));
        }
        return gtin == null || serial == null
                ? Optional.empty()
                : one(site, ITEM.GTIN.eq(gtin).and(ITEM.SERIAL.eq(serial)));
    }

    private Optional<UUID> one(Site site, Condition which) {
        return dsl.select(ITEM.ITEM_ID)
                .from(ITEM)
                .where(ITEM.SITE_ID.eq(site.no()), which)
                .fetchOptional(ITEM.ITEM_ID);
    }

    /** Who entered a move, and the roles they had in the unit at that moment. */
    record Mover(String title, List<Role> roles) {}

    /** Who entered the moves of an item, by version. */
    Map<Integer, Mover> movers(Item item) {
        Map<Integer, Mover> movers = new HashMap<>();
        dsl.selectFrom(MOVERS.call(item.kind().site().no(), item.id()))
                .forEach(row -> movers.put(
                        row.get(MOVERS.VERSION),
                        new Mover(
                                row.get(MOVERS.TITLE),
                                Arrays.stream(row.get(MOVERS.ROLES))
                                        .flatMap(role -> Role.of(role).stream())
                                        .toList())));
        return movers;
    }

    /** Where items of the unit were put lately, by the state they went into; the latest first. */
    Map<State, List<String>> places(Site site) {
        var where = DSL.coalesce(MOVE.PLACE, MOVE.DESTINATION);
        Map<State, List<String>> places = new EnumMap<>(State.class);
        dsl.select(MOVE.TO_STATE, where)
                .from(MOVE)
                .where(MOVE.SITE_ID.eq(site.no()), where.isNotNull())
                .groupBy(MOVE.TO_STATE, where)
                .orderBy(DSL.max(MOVE.MOVED_AT).desc(), where)
                .forEach(row -> {
                    List<String> some =
                            places.computeIfAbsent(State.of(row.value1()).orElseThrow(), state -> new ArrayList<>());
                    if (some.size() < MOST_PLACES) {
                        some.add(row.value2());
                    }
                });
        return places;
    }
}
