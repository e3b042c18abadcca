package airway.registry.research;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryStream;
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
        Path folder = Files.createDirectories(file.toAbsolutePath().getParent());
        Path part = Files.createTempFile(
                folder,
                "package-",
                ".part",
                PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------")));
        try {
            Written written;
            try (FileChannel channel = FileChannel.open(part, StandardOpenOption.WRITE)) {
                Counted counted = new Counted(Channels.newOutputStream(channel));
                zip(new BufferedOutputStream(counted), papers, released, each);
                channel.force(true);
                written = new Written(counted.sha256(), counted.bytes());
            }
            Files.move(part, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
            return written;
        } finally {
            Files.deleteIfExists(part);
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
        out.flush();
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

    /** Copies a file to where there is none, wholly or not at all. */
    static void copy(Path file, Path out) throws IOException {
        Path place = out.toAbsolutePath();
        Path part = Files.createTempFile(place.getParent(), "package-", ".part");
        try {
            Files.copy(file, part, StandardCopyOption.REPLACE_EXISTING);
            Files.move(part, place);
        } finally {
            Files.deleteIfExists(part);
        }
    }

    /** Takes away files that were not touched for so long: their links are over, or a machine stopped while it wrote. */
    static void sweep(Path folder, Duration age) throws IOException {
        if (!Files.isDirectory(folder)) {
            return;
        }
        long before = System.currentTimeMillis() - age.toMillis();
        try (DirectoryStream<Path> parts = Files.newDirectoryStream(folder, "*.{part,zip}")) {
            for (Path part : parts) {
                if (Files.getLastModifiedTime(part).toMillis() < before) {
                    Files.deleteIfExists(part);
                }
            }
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
