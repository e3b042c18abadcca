package airway.registry.encounter;

import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Variable;
import airway.registry.problem.Fault;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/** Values outside the plausible: each is asked about once, and kept as confirmed when the recorder says so. */
final class SoftLimits {
    private SoftLimits() {}

    static List<Fault> of(Encounter encounter, Map<String, DeviceSetup> setups) {
        List<Fault> unlikely = new ArrayList<>();
        for (Encounter.Node node : encounter.nodes(setups)) {
            for (String name : node.answers().values().keySet()) {
                Variable variable = Dictionary.current().variable(name);
                String pointer = node.pointer() + "/" + name;
                boolean likely = node.answers()
                        .forCondition(name)
                        .map(value -> !(value instanceof BigDecimal number)
                                || variable.soft().contains(number))
                        .orElse(true);
                if (!likely && !encounter.confirmed().contains(pointer)) {
                    unlikely.add(Fault.confirm(
                            pointer,
                            "unlikely",
                            "Usual is " + variable.soft().words() + JsonAnswers.unit(variable)
                                    + ". If it is right, send its pointer in \"confirmed\"."));
                }
            }
        }
        return unlikely;
    }
}
