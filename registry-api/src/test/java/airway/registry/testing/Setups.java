package airway.registry.testing;

import java.util.List;

/** Three set-ups for a unit, as JSON: two with a screen that can also be seen by eye, one without. */
public final class Setups {
    private static final List<String> ALL = List.of("""
            {"site_id": "%s", "device_setup_id": "metal-handle", "title": "Metal blade, straight, size 1",
             "device_mode": "video_standard", "blade_geometry": "straight", "blade_size": "1",
             "blade_material": "metal", "blade_use": "reusable", "display_mounting": "handle"}""", """
            {"site_id": "%s", "device_setup_id": "plastic-cable", "title": "Plastic blade, curved, size 1",
             "device_mode": "video_standard", "blade_geometry": "curved", "blade_size": "1",
             "blade_material": "plastic", "blade_use": "single_use", "display_mounting": "cable"}""", """
            {"site_id": "%s", "device_setup_id": "metal-direct", "title": "Metal blade, straight, size 1, no screen",
             "device_mode": "direct", "blade_geometry": "straight", "blade_size": "1",
             "blade_material": "metal", "blade_use": "reusable", "display_mounting": "none"}""");

    private Setups() {}

    public static List<String> of(String unit) {
        return ALL.stream().map(setup -> setup.formatted(unit)).toList();
    }
}
