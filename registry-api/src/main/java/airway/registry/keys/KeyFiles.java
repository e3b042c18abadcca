package airway.registry.keys;

import airway.sql.CannotStart;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFilePermission;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.SecureRandom;
import java.util.Base64;
import java.util.List;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;

/**
 * A folder with one file a key: {@code key-1}, {@code key-2} to seal with, {@code lookup-1}, {@code lookup-2} to find by.
 * Each is 32 random bytes in base64, for their owner's eyes alone.
 */
final class KeyFiles {
    /** The number of a key is one byte of everything it encrypted. */
    static final int MOST = 255;

    private static final int BYTES = 32;

    /** What a key is for; it begins the name of its file. */
    enum Use {
        SEAL("key"),
        LOOKUP("lookup");

        private final String word;
        private final Pattern name;

        Use(String word) {
            this.word = word;
            this.name = Pattern.compile(word + "-([1-9]\\d{0,2})");
        }

        /** Name of the file of a key. */
        String file(int number) {
            return word + "-" + number;
        }
    }

    private static final Set<PosixFilePermission> OTHERS = Set.of(
            PosixFilePermission.GROUP_READ,
            PosixFilePermission.GROUP_WRITE,
            PosixFilePermission.OTHERS_READ,
            PosixFilePermission.OTHERS_WRITE);

    private final Path folder;

    KeyFiles(Path folder) {
        this.folder = folder;
    }

    /**
     * All keys for a use, by number.
     *
     * @throws CannotStart if a file is no key, or others than its owner may read or change it
     */
    SortedMap<Integer, byte[]> read(Use use) {
        SortedMap<Integer, byte[]> keys = new TreeMap<>();
        if (!Files.isDirectory(folder)) {
            return keys;
        }
        try (Stream<Path> files = Files.list(folder)) {
            for (Path file : files.toList()) {
                Matcher name = use.name.matcher(file.getFileName().toString());
                if (name.matches() && Integer.parseInt(name.group(1)) <= MOST) {
                    keys.put(Integer.parseInt(name.group(1)), key(file));
                }
            }
            return keys;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static byte[] key(Path file) throws IOException {
        if (posix(file) && Files.getPosixFilePermissions(file).stream().anyMatch(OTHERS::contains)) {
            throw new CannotStart("The key file " + file + " can be read or changed by others than its owner;"
                    + " set its mode to 0600, and think about who may have read it.");
        }
        byte[] key;
        try {
            key = Base64.getDecoder().decode(Files.readString(file).strip());
        } catch (IllegalArgumentException e) {
            key = new byte[0];
        }
        if (key.length != BYTES) {
            throw new CannotStart("The key file " + file + " is damaged: put it back from a backup.");
        }
        return key;
    }

    /** Makes a new key and keeps it, safely on the disk, before it is used for anything. Never in place of another. */
    byte[] make(Use use, int number) {
        byte[] key = new byte[BYTES];
        new SecureRandom().nextBytes(key);
        try {
            Files.createDirectories(folder);
            Path file = folder.resolve(use.file(number));
            if (Files.exists(file)) {
                throw new CannotStart("There is a key file " + file + " already.");
            }
            Path fresh = folder.resolve("." + use.file(number) + ".new");
            Files.deleteIfExists(fresh);
            if (posix(folder)) {
                Files.setPosixFilePermissions(folder, PosixFilePermissions.fromString("rwx------"));
                Files.createFile(
                        fresh, PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------")));
            }
            Files.write(fresh, List.of(Base64.getEncoder().encodeToString(key)));
            try (var channel = FileChannel.open(fresh, StandardOpenOption.WRITE)) {
                channel.force(true);
            }
            Files.move(fresh, file, StandardCopyOption.ATOMIC_MOVE);
            try (var channel = FileChannel.open(folder, StandardOpenOption.READ)) {
                channel.force(true);
            } catch (IOException notHere) {
                // A folder cannot be opened on every system; the file itself is on the disk.
            }
            return key;
        } catch (IOException e) {
            throw new CannotStart("The key file cannot be written into " + folder + ": "
                    + e.getClass().getSimpleName() + ". Name another folder with airway.keys-dir.");
        }
    }

    private static boolean posix(Path file) throws IOException {
        return Files.getFileStore(file).supportsFileAttributeView("posix");
    }
}
