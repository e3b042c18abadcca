package airway.registry.kit;

import airway.registry.access.Site;
import java.util.UUID;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ObjectNode;

/** Where other rooms enter kinds, items and moves, stock, trolleys and checks: judged like those that come over the API. */
@Component
public class KitDoor {
    private final Kit kit;
    private final Lots lots;
    private final Trolleys trolleys;

    KitDoor(Kit kit, Lots lots, Trolleys trolleys) {
        this.kit = kit;
        this.lots = lots;
        this.trolleys = trolleys;
    }

    /** Whether nothing is entered for a unit. */
    public boolean isEmpty(Site site) {
        return kit.kinds(site).isEmpty();
    }

    /** Adds a kind, as {@code POST /api/v1/kit/kinds} does. */
    public void addKind(JsonNode body) {
        kit.addKind(body);
    }

    /** Enters an item, as {@code POST /api/v1/kit/items} does. */
    public UUID addItem(JsonNode body) {
        return kit.addItem(body).item().id();
    }

    /** Adds what came of a lot, as {@code POST /api/v1/kit/lots} does. */
    public void receive(JsonNode body) {
        lots.receive(body);
    }

    /** Adds a trolley, as {@code POST /api/v1/kit/trolleys} does. */
    public UUID addTrolley(JsonNode body) {
        return trolleys.add(body).trolley().id();
    }

    /** Checks a trolley as it is now, as {@code POST /api/v1/kit/trolleys/{id}/checks} does. */
    public void check(UUID trolley, ObjectNode body) {
        trolleys.check(
                trolley, body.put("seen", trolleys.trolley(trolley).standing().seen()));
    }

    /** Moves an item as it is now, as {@code POST /api/v1/kit/items/{id}/moves} does. */
    public void move(UUID item, ObjectNode body) {
        kit.move(item, body.put("seen", kit.item(item).life().version()));
    }
}
