package airway.registry.access;

import airway.registry.problem.Fault;
import com.nulabinc.zxcvbn.Zxcvbn;
import java.text.Normalizer;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import org.springframework.security.crypto.argon2.Argon2PasswordEncoder;

/**
 * Which passwords are taken, and how they are kept: Argon2id with 19,456 KiB, 2 passes, 1 lane (OWASP Password Storage
 * Cheat Sheet, August 2026). Long ones are welcome and never cut; no mixture of signs is asked for, and nobody has to
 * change one for its age (OWASP ASVS 5.0, 6.2.1 to 6.2.12).
 */
final class Passwords {
    static final int SHORTEST = 12;
    static final int LONGEST = 256;

    private static final int SALT_BYTES = 16;
    private static final int HASH_BYTES = 32;
    private static final int LANES = 1;
    private static final int MEMORY_KIB = 19_456;
    private static final int PASSES = 2;

    /** Of 0 to 4: at 3 it would take more than 10^8 guesses, also with lists of common passwords and patterns. */
    private static final int STRONG = 3;

    /** The measure reads no more than this; the rest can only make a password stronger. */
    private static final int MEASURED = 72;

    private static final List<String> HERE = List.of("airway", "register", "registry", "intubation", "hospital");

    private final Argon2PasswordEncoder argon =
            new Argon2PasswordEncoder(SALT_BYTES, HASH_BYTES, LANES, MEMORY_KIB, PASSES);
    private final Zxcvbn strength = new Zxcvbn();
    private final String nobodys = Objects.requireNonNull(argon.encode(Secret.fresh()));

    /** What is wrong with a new password, if anything; names of the person are easy to guess. */
    Optional<Fault> fault(String password, List<String> names) {
        String typed = clean(password);
        int length = typed.codePointCount(0, typed.length());
        if (length < SHORTEST) {
            return fault("short", "Choose one of at least 12 characters; a few words in a row do well.");
        } else if (length > LONGEST) {
            return fault("long", "Choose one of at most 256 characters.");
        }
        List<String> words =
                java.util.stream.Stream.concat(HERE.stream(), names.stream()).toList();
        int score = strength.measure(typed.substring(0, Math.min(MEASURED, typed.length())), words)
                .getScore();
        return score < STRONG
                ? fault(
                        "common",
                        "This one is easy to guess: it is common, or made of your name or a row of keys. Choose"
                                + " another, for example four words that have nothing to do with each other.")
                : Optional.empty();
    }

    private static Optional<Fault> fault(String code, String mend) {
        return Optional.of(Fault.parameter("password", "password." + code, mend));
    }

    String hash(String password) {
        return Objects.requireNonNull(argon.encode(clean(password)));
    }

    /** Whether it is the one that was hashed; without a hash it takes as long and is wrong. */
    boolean matches(String password, @org.jspecify.annotations.Nullable String hash) {
        boolean same = argon.matches(clean(password), hash == null ? nobodys : hash);
        return same && hash != null;
    }

    /** Whether it was hashed with less than what is asked for now. */
    boolean weakened(String hash) {
        return argon.upgradeEncoding(hash);
    }

    /** One letter has several spellings in Unicode; the keyboard decides which. */
    private static String clean(String password) {
        return Normalizer.normalize(password, Normalizer.Form.NFC);
    }
}
