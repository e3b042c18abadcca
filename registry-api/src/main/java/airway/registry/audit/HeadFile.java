package airway.registry.audit;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Instant;
import java.time.format.DateTimeFormatterBuilder;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Component;

/**
 * The heads of the chain outside the database: a file of lines {@code seq hash time}, to which lines are only added.
 * Without it, nobody could tell whether the newest entries were deleted together with their seals.
 */
@Component
class HeadFile {
    static final String NAME = "heads.txt";

    private static final Pattern LINE =
            Pattern.compile("([1-9]\\d{0,17}) ([0-9a-f]{64}) (\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\dZ)");

    private final Path file;

    HeadFile(
            @Value("${airway.data-dir}") Path dataDirectory,
            @Value("${airway.audit.heads-dir:#{null}}") @Nullable Path folder) {
        this.file = (folder == null ? dataDirectory.resolve("audit-heads") : folder).resolve(NAME);
    }

    /** Where it is. */
    Path path() {
        return file;
    }

    /**
     * A line as it stands in the file.
     *
     * @param number from 1
     * @param head what it says; null where it cannot be read
     * @param broken it is the beginning of a line: the machine stopped while it was written
     */
    record Line(int number, @Nullable Head head, boolean broken) {}

    /** All lines; empty when there is no file yet. */
    List<Line> lines() {
        String text;
        try {
            text = Files.readString(file, StandardCharsets.ISO_8859_1);
        } catch (NoSuchFileException e) {
            return List.of();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        List<Line> lines = new ArrayList<>();
        for (String line : text.lines().toList()) {
            lines.add(line(lines.size() + 1, line));
        }
        return lines;
    }

    private static Line line(int number, String text) {
        Matcher line = LINE.matcher(text);
        if (line.matches()) {
            try {
                return new Line(
                        number,
                        new Head(Long.parseLong(line.group(1)), line.group(2), Instant.parse(line.group(3))),
                        false);
            } catch (DateTimeParseException e) {
                return new Line(number, null, false);
            }
        }
        return new Line(number, null, line.hitEnd());
    }

    /** The last head kept; empty where there is none. */
    Optional<Head> last() {
        List<Line> lines = lines();
        for (int i = lines.size() - 1; i >= 0; i--) {
            Head head = lines.get(i).head();
            if (head != null) {
                return Optional.of(head);
            }
        }
        return Optional.empty();
    }

    /** Adds a line, safely on the disk when this returns. */
    void add(Head head) {
        String line = head.seq() + " " + head.hash() + " "
                + new DateTimeFormatterBuilder().appendInstant(0).toFormatter().format(head.at()) + "\n";
        try {
            make();
            try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ, StandardOpenOption.WRITE);
                    FileLock held = channel.lock()) {
                if (!held.isValid()) {
                    throw new IOException("the lock was lost");
                }
                long end = channel.size();
                ByteBuffer last = ByteBuffer.allocate(1);
                // A line that a stop cut short stays as it is, alone on its line.
                boolean cut = end > 0 && channel.read(last, end - 1) == 1 && last.get(0) != '\n';
                ByteBuffer bytes = StandardCharsets.US_ASCII.encode(cut ? "\n" + line : line);
                long at = end;
                while (bytes.hasRemaining()) {
                    at += channel.write(bytes, at);
                }
                channel.force(true);
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private void make() throws IOException {
        if (Files.exists(file)) {
            return;
        }
        Path folder = Objects.requireNonNull(file.toAbsolutePath().normalize().getParent());
        boolean there = Files.isDirectory(folder);
        Files.createDirectories(folder);
        if (Files.getFileStore(folder).supportsFileAttributeView("posix")) {
            if (!there) {
                Files.setPosixFilePermissions(folder, PosixFilePermissions.fromString("rwx------"));
            }
            FileChannel.open(
                            file,
                            Set.of(StandardOpenOption.CREATE, StandardOpenOption.WRITE),
                            PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------")))
                    .close();
        } else {
            FileChannel.open(file, StandardOpenOption.CREATE, StandardOpenOption.WRITE)
                    .close();
        }
        try (FileChannel channel = FileChannel.open(folder, StandardOpenOption.READ)) {
            channel.force(true);
        } catch (IOException notHere) {
            // A folder cannot be opened on every system; the file itself is forced with each line.
        }
    }
}
