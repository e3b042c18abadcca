package airway.registry.research;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.CopyOption;
import java.nio.file.DirectoryStream;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.DigestOutputStream;
import java.security.MessageDigest;
import java.time.Duration;
import java.time.LocalDateTime;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;

/**
 * Writes a package into one file. It is there whole or not at all; the same package gives the same bytes: parts stand in one
 * order, and no time of the machine is written.
 */
final class PackageFile {
    static final String ROWS = "data/events.csv";
    static final String PARQUET = "data/events.parquet";

    /** Any one that a zip can tell; beside the very first it would write the zone of the machine too. */
    private static final LocalDateTime NO_TIME = LocalDateTime.of(1980, 2, 1, 0, 0);

    private static final String BEGINNING = "airway-package-";
    private static final String END = ".part";

    /** Files that this program is writing. */
    private static final Set<Path> HELD = ConcurrentHashMap.newKeySet();

    private PackageFile() {}

    /** A file that was written. */
    record Written(String sha256, long bytes) {}

    /**
     * A part that was written.
     *
     * @param sha256 in hexadecimal
     */
    record Part(String sha256, long bytes) {}

    /**
     * Writes it beside the place where it belongs, and moves it there when it is whole.
     *
     * @param each runs after every row, and may end it by an exception
     * @throws IOException if it cannot be written; then nothing is left of it
     */
    static Written write(Path file, Papers papers, Released released, Runnable each) throws IOException {
        Files.createDirectories(file.toAbsolutePath().getParent());
        return placed(
                file,
                out -> zip(out, papers, released, each),
                StandardCopyOption.ATOMIC_MOVE,
                StandardCopyOption.REPLACE_EXISTING);
    }

    /** Copies a file to where there is none, wholly or not at all; takes away what a copy that was killed left there. */
    static void copy(Path file, Path out) throws IOException {
        clear(Objects.requireNonNull(out.toAbsolutePath().getParent()), BEGINNING + "*" + END);
        placed(out, into -> Files.copy(file, into));
    }

    /** While it is written it is locked: what nobody has locked was left by a program that was killed. */
    private static Written placed(Path place, Filling filling, CopyOption... move) throws IOException {
        Path part = Files.createTempFile(
                place.toAbsolutePath().getParent(),
                BEGINNING,
                END,
                PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------")));
        HELD.add(part);
        try {
            if (part.getFileSystem().equals(FileSystems.getDefault())) {
                // A program that is told to end runs no finally.
                part.toFile().deleteOnExit();
            }
            try (FileChannel channel = FileChannel.open(part, StandardOpenOption.WRITE)) {
                channel.lock();
                Counted counted = new Counted(Channels.newOutputStream(channel));
                OutputStream out = new BufferedOutputStream(counted);
                filling.into(out);
                out.flush();
                channel.force(true);
                Files.move(part, place, move);
                return new Written(counted.sha256(), counted.bytes());
            }
        } finally {
            Files.deleteIfExists(part);
            HELD.remove(part);
        }
    }

    /**
     * Takes away packages that were not touched for so long, since their links are over, and what was left half written, however
     * short ago.
     */
    static void sweep(Path folder, Duration age) throws IOException {
        if (!Files.isDirectory(folder)) {
            return;
        }
        clear(folder, "*" + END);
        long before = System.currentTimeMillis() - age.toMillis();
        try (DirectoryStream<Path> whole = Files.newDirectoryStream(folder, "*.zip")) {
            for (Path file : whole) {
                if (Files.getLastModifiedTime(file).toMillis() < before) {
                    Files.deleteIfExists(file);
                }
            }
        }
    }

    private static void clear(Path folder, String names) throws IOException {
        try (DirectoryStream<Path> parts = Files.newDirectoryStream(folder.toAbsolutePath(), names)) {
            for (Path part : parts) {
                if (!held(part)) {
                    Files.deleteIfExists(part);
                }
            }
        }
    }

    private static boolean held(Path part) {
        // Closing a file lets go of every lock that this program has on it, so its own are not opened.
        if (HELD.contains(part)) {
            return true;
        }
        try (FileChannel channel = FileChannel.open(part, StandardOpenOption.WRITE)) {
            return channel.tryLock() == null;
        } catch (IOException e) {
            // Gone, or somebody else's.
            return true;
        }
    }

    private static void zip(OutputStream out, Papers papers, Released released, Runnable each) throws IOException {
        ZipOutputStream zip = new ZipOutputStream(out, StandardCharsets.UTF_8);
        Map<String, Part> parts = new LinkedHashMap<>();
        parts.put(ROWS, part(zip, ROWS, into -> released.write(into, each)));
        parts.put(PARQUET, part(zip, PARQUET, released::writeParquet));
        for (Map.Entry<String, String> text : papers.texts(Map.copyOf(parts)).entrySet()) {
            parts.put(text.getKey(), part(zip, text.getKey(), text(text.getValue())));
        }
        StringBuilder manifest = new StringBuilder();
        parts.forEach((name, one) ->
                manifest.append(one.sha256()).append("  ").append(name).append('\n'));
        part(zip, "manifest.sha256", text(manifest.toString()));
        zip.finish();
    }

    private static Filling text(String text) {
        return out -> out.write(text.getBytes(StandardCharsets.UTF_8));
    }

    private static Part part(ZipOutputStream zip, String name, Filling filling) throws IOException {
        ZipEntry entry = new ZipEntry(name);
        entry.setTimeLocal(NO_TIME);
        zip.putNextEntry(entry);
        Counted counted = new Counted(zip);
        filling.into(counted);
        counted.flush();
        zip.closeEntry();
        return new Part(counted.sha256(), counted.bytes());
    }

    /** What writes a part. */
    @FunctionalInterface
    private interface Filling {
        void into(OutputStream out) throws IOException;
    }

    /** Counts what goes through and hashes it; closing it closes nothing. */
    private static final class Counted extends DigestOutputStream {
        private long bytes;

        Counted(OutputStream out) {
            super(out, Contents.sha256());
        }

        @Override
        public void write(int one) throws IOException {
            super.write(one);
            bytes++;
        }

        @Override
        public void write(byte[] some, int from, int length) throws IOException {
            super.write(some, from, length);
            bytes += length;
        }

        long bytes() {
            return bytes;
        }

        String sha256() {
            return HexFormat.of().formatHex(getMessageDigest().digest());
        }
    }

    /** SHA-256 of a file, in hexadecimal. */
    static String sha256(Path file) throws IOException {
        MessageDigest digest = Contents.sha256();
        try (OutputStream out = new DigestOutputStream(OutputStream.nullOutputStream(), digest)) {
            Files.copy(file, out);
        }
        return HexFormat.of().formatHex(digest.digest());
    }
}
