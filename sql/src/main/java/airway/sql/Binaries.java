package airway.sql;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.Locale;
import org.apache.commons.compress.archivers.tar.TarArchiveEntry;
import org.apache.commons.compress.archivers.tar.TarArchiveInputStream;
import org.tukaani.xz.XZInputStream;

/** The programs of the server, unpacked once beside its data. */
final class Binaries {
    private Binaries() {}

    /** Where the archive for this machine lies on the class path. */
    static String resource() {
        String name = System.getProperty("os.name").toLowerCase(Locale.ROOT);
        String system = name.startsWith("linux") ? "linux" : name.startsWith("mac") ? "darwin" : "windows";
        String arch = System.getProperty("os.arch");
        return "/postgres-" + system + "-" + (arch.equals("aarch64") ? "arm_64" : "x86_64") + ".txz";
    }

    /** Unpacks aside and renames, so that a half-unpacked directory never counts. */
    static Path unpack(byte[] archive, Path home) throws IOException {
        Path done = home.resolve("bin-" + sha256(archive).substring(0, 16));
        if (Files.isDirectory(done)) {
            return done;
        }
        Path aside = Files.createTempDirectory(home, "unpack");
        try (TarArchiveInputStream entries =
                new TarArchiveInputStream(new XZInputStream(new ByteArrayInputStream(archive)))) {
            for (TarArchiveEntry entry = entries.getNextEntry(); entry != null; entry = entries.getNextEntry()) {
                write(entries, entry, aside);
            }
        }
        openToOthers(aside);
        Files.move(aside, done, StandardCopyOption.ATOMIC_MOVE);
        return done;
    }

    private static void write(TarArchiveInputStream entries, TarArchiveEntry entry, Path aside) throws IOException {
        Path file = aside.resolve(entry.getName()).normalize();
        if (!file.startsWith(aside)) {
            throw new IOException("entry outside the archive: " + entry.getName());
        }
        if (entry.isDirectory()) {
            Files.createDirectories(file);
            return;
        }
        Files.createDirectories(file.getParent());
        if (entry.isSymbolicLink()) {
            Files.createSymbolicLink(file, Path.of(entry.getLinkName()));
        } else {
            Files.copy(entries, file);
            if (entry.getName().contains("bin/") && !file.toFile().setExecutable(true, false)) {
                throw new IOException("cannot be made executable: " + file);
            }
        }
    }

    /** The server may run as another user than the one who unpacked it. */
    private static void openToOthers(Path directory) throws IOException {
        if (!directory.toFile().setReadable(true, false) || !directory.toFile().setExecutable(true, false)) {
            throw new IOException("cannot be opened to others: " + directory);
        }
    }

    private static String sha256(byte[] bytes) {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException(e);
        }
    }
}
