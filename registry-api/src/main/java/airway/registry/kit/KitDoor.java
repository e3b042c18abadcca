package airway.registry.kit;

import airway.registry.access.Site;
import java.util.UUID;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ObjectNode;

/** Where other rooms enter kinds, items and moves: judged like those that come over the API. */
@Component
public class KitDoor {
    private final Kit kit;

    KitDoor(Kit kit) {
        this.kit = kit;
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

    /** Moves an item as it is now, as {@code POST /api/v1/kit/items/{id}/moves} does. */
    public void move(UUID item, ObjectNode body) {
        kit.move(item, body.put("seen", kit.item(item).life().version()));
    }
}
