package airway.registry.demo;

import tools.jackson.databind.node.JsonNodeFactory;
import tools.jackson.databind.node.ObjectNode;

/**
 * A set-up of an invented unit.
 *
 * @param ages for whom it is taken: small, large, or any
 */
record SetupPlan(
        String id,
        String title,
        String mode,
        String geometry,
        String size,
        String material,
        String use,
        String mounting,
        String ages) {

    boolean fits(boolean large) {
        return ages.equals("any") || ages.equals(large ? "large" : "small");
    }

    boolean screen() {
        return !mounting.equals("none");
    }

    ObjectNode json(String unit) {
        return JsonNodeFactory.instance
                .objectNode()
                .put("site_id", unit)
                .put("device_setup_id", id)
                .put("title", title)
                .put("device_mode", mode)
                .put("blade_geometry", geometry)
                .put("blade_size", size)
                .put("blade_material", material)
                .put("blade_use", use)
                .put("display_mounting", mounting);
    }
}
