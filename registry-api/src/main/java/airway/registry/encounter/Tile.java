package airway.registry.encounter;

import airway.registry.dictionary.Dictionary;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;

/**
 * One answer to tap: a full sentence, not a code.
 *
 * @param note small print under the words, or empty
 */
public record Tile(String value, String words, String note) {
    static final Tile NOT_KNOWN = new Tile(Answering.NOT_KNOWN, "Not known", "");

    /** A part of the list of events under its own heading. */
    public record Group(String title, List<Tile> tiles) {}

    private static final int BEST_TILE = 100;
    private static final int LOWEST_TILE = 89;

    private static final List<Group> EVENTS = List.of(
            group(
                    "Heart and circulation",
                    "arrest_rosc",
                    "arrest_death",
                    "bradycardia",
                    "dysrhythmia",
                    "hypotension_treated",
                    "hypertension_treated"),
            group(
                    "Airway and tube",
                    "cannot_oxygenate",
                    "front_of_neck_emergency",
                    "oesophageal_late",
                    "oesophageal_now",
                    "bronchial",
                    "laryngospasm"),
            group("Vomiting and lungs", "aspiration", "vomiting", "pneumothorax"),
            group("Injury", "dental_trauma", "airway_injury", "lip_trauma", "epistaxis"),
            group(
                    "Drugs, kit and other",
                    "drug_error",
                    "pain_delay",
                    "malignant_hyperthermia",
                    "kit_failure",
                    "other"));

    private static Group group(String title, String... events) {
        return new Group(title, of("event_type", List.of(events)));
    }

    /** The answers of a variable, with "Not known" where the dictionary has no code for it. */
    static List<Tile> of(String variable) {
        List<Tile> tiles = new ArrayList<>(Dictionary.current().variable(variable).codes().stream()
                .map(code -> tile(variable, code.value()))
                .toList());
        if (tiles.stream().noneMatch(tile -> tile.value().equals(Answering.NOT_KNOWN))) {
            tiles.add(NOT_KNOWN);
        }
        return List.copyOf(tiles);
    }

    /** Some of the answers of a variable, in the order named. */
    static List<Tile> of(String variable, List<String> codes) {
        return codes.stream().map(code -> tile(variable, code)).toList();
    }

    /** The longest word of the dictionary gets a place to break on a narrow tile. */
    private static Tile tile(String variable, String code) {
        String words = Dictionary.current().variable(variable).label(code);
        return new Tile(code, words.replace("pneumomediastinum", "pneumo\u00ADmediastinum"), "");
    }

    /** All events of the dictionary in plain groups. */
    static List<Group> events() {
        return EVENTS;
    }

    /** Saturations by one tap: a slip of a digit is not possible. */
    static List<Tile> saturations() {
        return IntStream.iterate(BEST_TILE, value -> value >= LOWEST_TILE, value -> value - 1)
                .mapToObj(value -> new Tile(String.valueOf(value), String.valueOf(value), ""))
                .toList();
    }
}
