package airway.registry.access;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.SecureRandom;
import java.util.Base64;
import java.util.List;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Component;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** One token per role for trying the API with invented data; made anew at each start, readable by its user alone. */
@Component
public class DemoTokens {
    private static final List<String> ROLES = List.of(
            "recorder", "improvement_lead", "researcher", "data_guardian", "kit_keeper", "administrator", "auditor");

    private final Path file;
    private final boolean demo;

    DemoTokens(@Value("${airway.data-dir}") Path dataDirectory, @Value("${airway.demo}") boolean demo) {
        this.file = dataDirectory.resolve("demo-tokens.json");
        this.demo = demo;
    }

    /** Writes the file in demo mode, and only then. */
    public void write() {
        if (!demo) {
            return;
        }
        ObjectNode tokens = new JsonMapper().createObjectNode();
        SecureRandom random = new SecureRandom();
        for (String role : ROLES) {
            byte[] bytes = new byte[32];
            random.nextBytes(bytes);
            tokens.put(role, Base64.getUrlEncoder().withoutPadding().encodeToString(bytes));
        }
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
