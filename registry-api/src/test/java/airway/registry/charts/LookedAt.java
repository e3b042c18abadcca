package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;

/** Pictures that a person has looked at. One that changed is written to target/pictures, to be looked at before it replaces the file. */
final class LookedAt {
    private LookedAt() {}

    /** Fails unless the picture is the one in the file. */
    static void isAs(String file, String picture) throws IOException {
        String drawn = picture + "\n";
        Path kept = Path.of("src/test/resources/airway/registry/charts", file);
        String expected = Files.exists(kept) ? Files.readString(kept, StandardCharsets.UTF_8) : "";
        if (!drawn.equals(expected)) {
            Path changed = Path.of("target/pictures", file);
            Files.createDirectories(changed.getParent());
            Files.writeString(changed, drawn);
        }
        assertThat(drawn).as("see target/pictures/" + file).isEqualTo(expected);
    }
}
