package airway.registry.imports;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class MappingReaderTest {
    static final String FRAME = """
            {"site": {"site_id": "unit", "title": "A unit", "site_kind": "picu", "zone": "Europe/London"},
             "source": "old",
             "encounter_start": {"nominal": "2000-01-01T12:00:00", "step": "P1D"}%s}
            """;

    @Test
    void refusesWhatIsNotJsonAndSaysWhere() {
        assertThatThrownBy(() -> read("{\n\"site\":\n")).hasMessageContaining("near line 3");
        assertThatThrownBy(() -> read("{\"site\": {}, \"site\": {}}")).hasMessageContaining("not JSON as it should be");
        assertThatThrownBy(() -> read("[]")).hasMessageContaining("an object in braces belongs here");
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = ';',
            quoteCharacter = '\0',
            value = {
                "\"colums\": {}; there is no setting \"colums\"",
                "\"columns\": {\"w\": {\"to\": \"weight\"}}; /columns/w: there is no variable \"weight\"",
                "\"columns\": {\"w\": {\"to\": \"encounter_id\"}}; no variable \"encounter_id\"",
                "\"columns\": {\"w\": {\"to\": \"encounter_start\"}}; has a setting of its own",
                "\"columns\": {\"s\": {\"to\": \"sex\"}}; \"codes\" is missing",
                "\"columns\": {\"s\": {\"to\": \"sex\", \"codes\": {\"0\": \"female\"}}}; \"female\" is no code of sex",
                "\"columns\": {\"s\": {\"to\": \"sex\", \"codes\": {\"0\": [\"f\"]}}}; one answer, not a list",
                "\"columns\": {\"s\": {\"to\": \"sex\", \"round\": true, \"codes\": {\"0\": \"f\"}}}; are for numbers",
                "\"columns\": {\"a\": {\"to\": \"age_days\"}, \"b\": {\"to\": \"age_days\"}}; answered by two columns",
                "\"constants\": {\"encounter\": {\"location\": \"moon\"}}; \"moon\" is no code of location",
                "\"constants\": {\"event\": {}}; the levels are",
                "\"attempts\": [{\"columns\": {\"w\": {\"to\": \"weight_kg\"}}}]; no variable \"weight_kg\" here",
                "\"events\": {\"x\": {\"yes\": [\"1\"], \"event\": {\"event_type\": \"bad\"}}}; no code of event_type",
                "\"absent\": [\"nothing\"]; absent: there is no variable \"nothing\"",
                "\"confirm\": [\"nothing\"]; confirm: there is no variable \"nothing\"",
            })
    void namesTheFirstThingThatCannotBeUsed(String setting, String sentence) {
        assertThatThrownBy(() -> read(FRAME.formatted(", " + setting)))
                .isInstanceOf(ImportRefused.class)
                .hasMessageContaining(sentence)
                .satisfies(e -> assertThat(((ImportRefused) e).exitCode()).isEqualTo(2));
    }

    @Test
    void refusesAUnitThatCouldNotBeAdded() {
        String frame = FRAME.formatted("");
        assertThatThrownBy(() -> read(frame.replace("\"picu\"", "\"zoo\"")))
                .hasMessageContaining("no code of site_kind");
        assertThatThrownBy(() -> read(frame.replace("Europe/London", "Europe/Nowhere")))
                .hasMessageContaining("not a time zone");
        assertThatThrownBy(() -> read(frame.replace("\"unit\"", "\"A Unit\""))).hasMessageContaining("site_id");
    }

    @Test
    void refusesAColumnThatIsNeitherMappedNorIgnored() {
        Mapping mapping = read(FRAME.formatted(", \"columns\": {\"w\": {\"to\": \"weight_kg\"}}, \"ignore\": [\"x\"]"));

        assertThatThrownBy(() -> mapping.check(List.of("w", "x", "y")))
                .isInstanceOf(ImportRefused.class)
                .hasMessage("The column \"y\" is neither mapped nor ignored: name it under \"columns\" or \"ignore\".");
        assertThatThrownBy(() -> mapping.check(List.of("x", "y")))
                .hasMessageContaining("w: the file has no such column");
        assertThatThrownBy(() -> mapping.check(List.of("w"))).hasMessageContaining("ignore/x: the file has no such");
        mapping.check(List.of("w", "x"));
    }

    @Test
    void refusesToUseAndIgnoreAColumnAtOnce() {
        Mapping mapping = read(FRAME.formatted(", \"columns\": {\"w\": {\"to\": \"weight_kg\"}}, \"ignore\": [\"w\"]"));

        assertThatThrownBy(() -> mapping.check(List.of("w"))).hasMessageContaining("used and ignored at once");
    }

    static Mapping read(String json) {
        return MappingReader.read(json.getBytes(StandardCharsets.UTF_8));
    }
}
