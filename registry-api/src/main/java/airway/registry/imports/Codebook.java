package airway.registry.imports;

import airway.registry.dictionary.Code;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import airway.registry.web.CsvField;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;

/** Every variable that a record can answer, as CSV: what it is called, what may be answered, and when it is asked. */
final class Codebook {
    private static final List<Level> LEVELS = List.of(
            Level.ENCOUNTER, Level.PATIENT, Level.COURSE, Level.DRUG, Level.ATTEMPT, Level.EVENT, Level.DEVICE_SETUP);

    private Codebook() {}

    static String csv() {
        StringBuilder csv =
                new StringBuilder("level,name,title,asked,when,type,unit,codes,allowed,usual,description,source\r\n");
        for (Level level : LEVELS) {
            for (Variable variable : Dictionary.current().variables(level)) {
                if (variable.layer() != Layer.SYSTEM) {
                    csv.append(line(level, variable)).append("\r\n");
                }
            }
        }
        return csv.toString();
    }

    private static String line(Level level, Variable variable) {
        return List.of(
                        level.name().toLowerCase(Locale.ROOT),
                        variable.name(),
                        variable.title(),
                        variable.layer().name().toLowerCase(Locale.ROOT),
                        variable.when().toString(),
                        variable.type().name().toLowerCase(Locale.ROOT),
                        variable.unit() == null ? "" : variable.unit(),
                        variable.codes().stream().map(Codebook::code).collect(Collectors.joining(" | ")),
                        limits(variable, variable.hard()),
                        limits(variable, variable.soft()),
                        variable.description(),
                        variable.source())
                .stream()
                .map(CsvField::quoted)
                .collect(Collectors.joining(","));
    }

    private static String code(Code code) {
        return code.value() + " = " + code.label();
    }

    private static String limits(Variable variable, Variable.Range range) {
        boolean number = variable.type() == Variable.Type.INTEGER || variable.type() == Variable.Type.NUMBER;
        return number ? range.words() : "";
    }
}
