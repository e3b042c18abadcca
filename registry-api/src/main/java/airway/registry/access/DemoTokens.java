package airway.registry.access;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Map;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Component;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** One token per role for trying the API with invented data; made anew at each start, readable by its user alone. */
@Component
public class DemoTokens {
    private final Path file;
    private final boolean demo;
    private final DemoPeople people;

    DemoTokens(
            @Value("${airway.data-dir}") Path dataDirectory, @Value("${airway.demo}") boolean demo, DemoPeople people) {
        this.file = dataDirectory.resolve("demo-tokens.json");
        this.demo = demo;
        this.people = people;
    }

    /** Writes the file in demo mode, and only then; at any start the tokens of an earlier one serve no more. */
    public void write() {
        Map<Role, String> secrets = people.tokens();
        if (!demo) {
            return;
        }
        ObjectNode tokens = new JsonMapper().createObjectNode();
        secrets.forEach((role, secret) -> tokens.put(role.code(), secret));
        try {
            Path fresh = file.resolveSibling(file.getFileName() + ".new");
            Files.deleteIfExists(fresh);
            Files.createFile(fresh);
            if (Files.getFileStore(fresh).supportsFileAttributeView("posix")) {
                Files.setPosixFilePermissions(fresh, PosixFilePermissions.fromString("rw-------"));
            }
            Files.writeString(fresh, tokens.toPrettyString());
            Files.move(fresh, file, StandardCopyOption.ATOMIC_MOVE);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
