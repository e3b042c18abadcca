package airway.registry.people;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.util.LinkedHashMap;
import java.util.Map;

/** What a form has to say about what was typed: by the name of the field. */
final class Told {
    private Told() {}

    static Map<String, String> of(Problem problem) {
        Map<String, String> told = new LinkedHashMap<>();
        for (Fault fault : problem.faults()) {
            told.putIfAbsent(fault.path(), fault.mend());
        }
        if (told.isEmpty()) {
            told.put("main", problem.detail());
        }
        return told;
    }
}
