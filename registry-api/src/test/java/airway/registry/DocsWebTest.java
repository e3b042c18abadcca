package airway.registry;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Level;
import airway.registry.problem.Problem;
import airway.registry.testing.ServedRegistry;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** What the documentation says is so. */
class DocsWebTest extends ServedRegistry {
    private static final Path ROOT = Path.of("..").toAbsolutePath().normalize();
    private static final Pattern LINK = Pattern.compile("\\]\\(([^)#]+)(#[^)]*)?\\)");
    private static final Pattern SETTING = Pattern.compile("`((?:airway|server|spring)\\.[a-z.-]+)`");

    private static List<Path> pages() throws IOException {
        try (Stream<Path> files = Files.walk(ROOT.resolve("docs"))) {
            List<Path> pages = new ArrayList<>(
                    files.filter(file -> file.toString().endsWith(".md")).toList());
            pages.add(ROOT.resolve("README.md"));
            pages.add(ROOT.resolve("DEVELOPERS.md"));
            return pages;
        }
    }

    @Test
    void linksLeadSomewhere() throws IOException {
        int followed = 0;
        for (Path page : pages()) {
            Matcher link = LINK.matcher(Files.readString(page));
            while (link.find()) {
                if (!link.group(1).contains("://")) {
                    assertThat(page.resolveSibling(link.group(1)))
                            .as(page + " -> " + link.group(1))
                            .exists();
                    followed++;
                }
            }
        }
        assertThat(followed).isGreaterThan(25);
    }

    @Test
    void everyPageOfTheDocumentationIsOnTheMapOrOnOneThatIs() throws IOException {
        StringBuilder maps = new StringBuilder();
        for (String map : List.of("docs/README.md", "docs/decisions/README.md", "README.md")) {
            maps.append(Files.readString(ROOT.resolve(map)));
        }
        for (Path page : pages()) {
            if (!page.getFileName().toString().equals("README.md")) {
                assertThat(maps.toString())
                        .as("a link to " + page)
                        .contains(page.getFileName().toString());
            }
        }
    }

    @Test
    void everySettingTheProgramReadsIsInTheReference() throws IOException {
        List<String> told = new ArrayList<>();
        Matcher setting = SETTING.matcher(Files.readString(ROOT.resolve("docs/reference/settings.md")));
        while (setting.find()) {
            told.add(setting.group(1));
        }
        assertThat(told)
                .contains(
                        "airway.data-dir",
                        "airway.demo",
                        "airway.audit.heads-dir",
                        "airway.database.mode",
                        "airway.database.os-user",
                        "airway.identity.keep-for",
                        "airway.unit.code",
                        "server.port",
                        "server.address",
                        "spring.datasource.url",
                        "spring.flyway.user");
    }

    @Test
    void everyKindOfProblemIsInTheReference() throws IOException {
        String page = Files.readString(ROOT.resolve("docs/reference/problems.md"));
        for (Class<?> kind : Problem.class.getPermittedSubclasses()) {
            String slug =
                    kind.getSimpleName().replaceAll("(?<=[a-z])(?=[A-Z])", "-").toLowerCase(java.util.Locale.ROOT);
            assertThat(page).contains("`" + slug + "`");
        }
    }

    @Test
    void everyFilterIsInTheReference() throws IOException {
        String page = Files.readString(ROOT.resolve("docs/reference/api.md"));
        for (Stratum stratum : Stratum.values()) {
            assertThat(page).contains("`" + stratum.variable() + "`");
        }
    }

    @Test
    void theExampleOfTheApiIsTaken() throws IOException {
        Matcher example = Pattern.compile("```json\\n(.*?)```", Pattern.DOTALL)
                .matcher(Files.readString(ROOT.resolve("docs/reference/api.md")));
        assertThat(example.find()).isTrue();
        String body = example.group(1).replaceFirst("\\{", "{\"site_id\": \"" + unit().code() + "\", ");

        assertThat(record(body).status()).isEqualTo(201);
    }

    @Test
    void theReadmeOpensWithTheJobAndHasBothCommands() throws IOException {
        String readme = Files.readString(ROOT.resolve("README.md"));
        assertThat(readme).startsWith("# Airway event registry\n\nA unit that intubates children");
        assertThat(readme).contains("```\nmvn\n```", "```\nmvn verify\n```", "45 of 49 (92%)", "43 of 50 (86%)");
    }

    @Test
    void everyVariableOfTheRecordHasASource() {
        for (Level level : Level.values()) {
            Dictionary.current()
                    .variables(level)
                    .forEach(variable ->
                            assertThat(variable.source()).as(variable.name()).isNotBlank());
        }
    }
}
