package airway.registry;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.OpenRegistry;
import airway.sql.TestDatabase;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** The verb as a script sees it. */
class DemoCommandDatabaseTest {
    private final TestDatabase.Logins logins = TestDatabase.fresh();

    @Test
    void fillsAnEmptyRegistryAndLeavesOneWithAUnitAlone() {
        assertThat(run("--seed", "3", "--months", "1")).isZero();
        assertThat(OpenRegistry.rows(logins, "select count(*) > 30 from analysis.fact"))
                .containsExactly("t");
        assertThat(OpenRegistry.rows(logins, "select count(*) from encounter.version where source_row like 'demo:3:%'"))
                .isEqualTo(OpenRegistry.rows(logins, "select count(*) from analysis.fact"));

        OpenRegistry.rows(logins, "select access.add_site('real', 'Real', 'picu', 'UTC', false)");
        assertThat(run()).isEqualTo(4);
    }

    @Test
    void answersTwoToANumberOfMonthsOutOfBounds() {
        assertThat(run("--months", "0")).isEqualTo(2);
        assertThat(run("--months", "241")).isEqualTo(2);
        assertThat(run("--seed", "x")).isEqualTo(2);
    }

    private int run(String... words) {
        List<String> args = new ArrayList<>(List.of("demo"));
        args.addAll(List.of(words));
        args.addAll(OpenRegistry.settings(logins));
        return CommandLine.run(args.toArray(String[]::new));
    }
}
