package airway.registry.encounter;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** Which questions are still open: asked of this record, not answered, and not said to be unknown. */
final class Incomplete {
    private Incomplete() {}

    /** Pointers of the open questions of the given layers, in the order of the record. */
    static List<String> pointers(Encounter encounter, Map<String, DeviceSetup> setups, Set<Layer> layers) {
        List<String> open = new ArrayList<>();
        for (Encounter.Node node : encounter.nodes(setups)) {
            for (Variable variable :
                    Dictionary.current().variables(node.answers().level())) {
                if (layers.contains(variable.layer())
                        && !node.answers().settled(variable.name())
                        && !Answers.notAsked(variable, node.answered())) {
                    open.add(node.pointer() + "/" + variable.name());
                }
            }
            if (layers.contains(Layer.DETAIL)
                    && node.answers().level() == Level.COURSE
                    && noDrugs(encounter, node.pointer())) {
                open.add(node.pointer() + "/drugs");
            }
        }
        if (layers.contains(Layer.FIRST)
                && encounter.answers().is("adverse_event_any", "yes")
                && encounter.events().isEmpty()) {
            open.add("/events");
        }
        return open;
    }

    private static boolean noDrugs(Encounter encounter, String course) {
        int number = Integer.parseInt(course.substring(course.lastIndexOf('/') + 1));
        return encounter.courses().get(number).drugs().isEmpty();
    }
}
