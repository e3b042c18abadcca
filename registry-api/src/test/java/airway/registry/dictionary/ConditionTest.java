package airway.registry.dictionary;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ConditionTest {
    private static final Map<String, Object> ANSWERS =
            Map.of("passes", BigDecimal.ONE, "mode", "direct", "kit", List.of("none"), "success", "no");

    private static final Condition.Answered ANSWERED = new Condition.Answered() {
        @Override
        public Optional<Object> answer(String variable) {
            return Optional.ofNullable(ANSWERS.get(variable));
        }

        @Override
        public boolean anyMissing(String variable) {
            return variable.equals("lowest");
        }
    };

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "passes > 0|TRUE",
                "passes >= 1|TRUE",
                "passes < 1|FALSE",
                "passes <= 0|FALSE",
                "mode == 'direct'|TRUE",
                "mode != 'direct'|FALSE",
                "mode in ['direct','video']|TRUE",
                "mode not in ['direct','video']|FALSE",
                "contains(kit,'none')|TRUE",
                "not contains(kit,'none')|FALSE",
                "any_missing(lowest)|TRUE",
                "any_missing(best)|FALSE",
                "mode != null|TRUE",
                "blank != null|FALSE",
                "blank == 'x'|UNKNOWN",
                "blank != 'x'|UNKNOWN",
                "blank in ['x']|UNKNOWN",
                "blank > 2|UNKNOWN",
                "not contains(blank,'none')|UNKNOWN",
            })
    void isTrueFalseOrUnknown(String text, Condition.Truth truth) {
        assertThat(Condition.parse(text).test(ANSWERED)).isEqualTo(truth);
    }

    @Test
    void refusesWhatIsNotOfTheLanguage() {
        assertThatThrownBy(() -> Condition.parse("mode ~ 'x'"))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("mode ~ 'x'");
    }

    @Test
    void readsEveryConditionOfTheDictionaryAndNamesOnlyItsVariables() {
        for (Level level : Level.values()) {
            for (Variable variable : Dictionary.current().variables(level)) {
                String name = variable.when().toString().replaceFirst("^not ", "");
                name = name.replaceFirst("^(contains|any_missing)\\(", "").replaceFirst("[^a-z0-9_].*", "");
                assertThat(name.isEmpty() || Dictionary.current().contains(name))
                        .as(variable.name() + " asks " + variable.when())
                        .isTrue();
            }
        }
    }
}
