package airway.sql;

import java.io.IOException;
import java.io.StringReader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileAttribute;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.SecureRandom;
import java.util.HexFormat;
import java.util.Properties;

/** Passwords of the server that comes along: random, made at the first start, readable by its user alone. */
record Secrets(String superuser, String owner, String app) {
    private static final String FILE = "secrets";

    static Secrets create(Path home) throws IOException {
        Secrets secrets = new Secrets(random(), random(), random());
        Files.deleteIfExists(home.resolve(FILE));
        writePrivately(
                home.resolve(FILE),
                "superuser=" + secrets.superuser + "\nowner=" + secrets.owner + "\napp=" + secrets.app + "\n");
        return secrets;
    }

    static Secrets read(Path home) throws IOException {
        Properties lines = new Properties();
        lines.load(new StringReader(Files.readString(home.resolve(FILE))));
        return new Secrets(
                lines.getProperty("superuser", ""), lines.getProperty("owner", ""), lines.getProperty("app", ""));
    }

    /** Writes a new file that only its owner may read, from its first byte on. */
    static void writePrivately(Path file, String text) throws IOException {
        FileAttribute<?>[] mine =
                file.getFileSystem().supportedFileAttributeViews().contains("posix")
                        ? new FileAttribute<?>[] {
                            PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------"))
                        }
                        : new FileAttribute<?>[0];
        Files.createFile(file, mine);
        Files.writeString(file, text);
    }

    private static String random() {
        byte[] bytes = new byte[32];
        new SecureRandom().nextBytes(bytes);
        return HexFormat.of().formatHex(bytes);
    }

    @Override
    public String toString() {
        return "Secrets";
    }
}
