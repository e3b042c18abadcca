package airway.registry.dictionary;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/** The reference page of the variables is made from the dictionary; this test keeps the two the same. */
class DictionaryPageTest {
    private static final Path PAGE = Path.of("../docs/reference/dictionary.md");

    @Test
    void saysWhatTheDictionarySays() throws IOException {
        String made = page();
        if (!made.equals(Files.exists(PAGE) ? Files.readString(PAGE) : "")) {
            Files.createDirectories(Path.of("target/pages"));
            Files.writeString(Path.of("target/pages/dictionary.md"), made);
        }
        assertThat(Files.readString(PAGE))
                .as("made anew: target/pages/dictionary.md")
                .isEqualTo(made);
    }

    private static String page() {
        StringBuilder page = new StringBuilder(
                "# Variables\n\nVersion " + Dictionary.current().version()
                        + ". Made from `variables.json`, where each variable also has its codes in words.\n\n"
                        + "Layer: first = needed to finalise, detail = when there is more to tell, optional, system = set by the"
                        + " program.\n");
        for (Level level : Level.values()) {
            page.append("\n## ")
                    .append(level.name().toLowerCase(java.util.Locale.ROOT).replace('_', ' '))
                    .append("""


                            | name | title | layer | type, limits | asked when | definition | source |
                            | --- | --- | --- | --- | --- | --- | --- |
                            """);
            for (Variable variable : Dictionary.current().variables(level)) {
                page.append("| `%s` | %s | %s | %s | %s | %s | %s |%n"
                        .formatted(
                                variable.name(),
                                variable.title(),
                                variable.layer().name().toLowerCase(java.util.Locale.ROOT),
                                type(variable),
                                variable.when().toString().isEmpty() ? "" : "`" + variable.when() + "`",
                                variable.description(),
                                variable.source()));
            }
        }
        return page.toString();
    }

    private static String type(Variable variable) {
        String unit = variable.unit() == null || variable.unit().equals("1") ? "" : " " + variable.unit();
        if (variable.coded()) {
            return (variable.type() == Variable.Type.LIST ? "list of " : "")
                    + variable.codes().stream()
                            .map(code -> "`" + code.value() + "`")
                            .collect(Collectors.joining(", "));
        }
        String soft = variable.soft().equals(Variable.Range.NONE)
                ? ""
                : "; usual " + variable.soft().words();
        return variable.type().name().toLowerCase(java.util.Locale.ROOT)
                + unit
                + (variable.hard().equals(Variable.Range.NONE)
                        ? ""
                        : ", " + variable.hard().words())
                + soft;
    }
}
