package airway.registry.charts;

import airway.registry.access.Site;
import airway.registry.cohort.Measure;
import java.util.Arrays;
import java.util.List;
import org.springframework.util.LinkedMultiValueMap;
import org.springframework.util.MultiValueMap;

/** What people ask again and again about laryngoscopes: measure, groups, filters and what to allow for, one click each. */
enum TradeQuestion {
    PLASTIC_OR_METAL(
            "Single-use plastic or reusable metal?",
            Measure.FPS,
            "by=blade_material,blade_use",
            "groups=plastic.single_use,metal.reusable"),
    SCREEN(
            "Screen on the handle, on a cable, or a large monitor?",
            Measure.FPS,
            "by=display_mounting",
            "groups=handle,cable,monitor"),
    CABLE_FOR_NOVICES(
            "Handle or cable: does it matter more for novices?",
            Measure.FPS,
            "by=display_mounting",
            "groups=handle,cable",
            "across=operator_experience",
            "adjust=difficulty_predicted"),
    GEOMETRY("Straight or curved blade, age for age?", Measure.FPS, "by=blade_geometry", "adjust=age_band"),
    SIZE("Which size of blade, age for age?", Measure.FPS, "by=blade_size", "adjust=age_band"),
    LOOK(
            "Direct or screen view with the same blade?",
            Measure.FPS,
            "by=look_target",
            "groups=direct,screen",
            "device_mode=video_standard",
            "adjust=blade_geometry,blade_size,blade_material"),
    ROOM(
            "Is there room for the tube beside the blade?",
            Measure.ROOM_FOR_TUBE,
            "by=blade_material",
            "groups=plastic,metal"),
    GOOD_VIEW("Good view, but the tube would not pass?", Measure.GOOD_VIEW_NO_PASS, "by=device_setup_id"),
    MOUTH_OPENING("When the mouth opens little?", Measure.FPS, "by=device_setup_id", "limited_mouth_opening=yes"),
    TIP(
            "Blade tip in the vallecula, or lifting the epiglottis?",
            Measure.FPS,
            "by=blade_tip",
            "groups=vallecula,epiglottis");

    private final String title;
    private final Measure measure;
    private final String parameters;

    TradeQuestion(String title, Measure measure, String... parameters) {
        this.title = title;
        this.measure = measure;
        this.parameters = String.join("&", parameters);
    }

    /** A question and its address. */
    record Link(String title, String address) {}

    static List<Link> links(Site site) {
        return Arrays.stream(values())
                .map(question -> new Link(question.title, question.address(site)))
                .toList();
    }

    private String address(Site site) {
        MultiValueMap<String, String> asked = new LinkedMultiValueMap<>();
        asked.add("site_id", site.code());
        asked.add("measure", measure.id());
        for (String parameter : parameters.split("&", -1)) {
            int equals = parameter.indexOf('=');
            asked.add(parameter.substring(0, equals), parameter.substring(equals + 1));
        }
        return ChartPages.address("/compare", asked);
    }
}
