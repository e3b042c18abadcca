package airway.registry.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

class TemplatesTest {
    private static final Path TEMPLATES = Path.of("src/main/resources/templates");

    /** A bare word in brackets is taken as the key itself, not as the variable of that name: nothing is found, and nothing said. */
    private static final Pattern BARE_KEY = Pattern.compile("[\"{( !]\\w+(\\.\\w+)*\\[[A-Za-z]+]");

    @Test
    void lookNothingUpByTheNameOfAVariable() throws IOException {
        List<Path> files;
        try (Stream<Path> all = Files.walk(TEMPLATES)) {
            files = all.filter(file -> file.toString().endsWith(".html")).toList();
        }
        assertThat(files).hasSizeGreaterThan(50);
        for (Path file : files) {
            assertThat(Files.readString(file)).as(file.toString()).doesNotContainPattern(BARE_KEY);
        }
    }
}
