package airway.registry.identity;

import java.nio.charset.StandardCharsets;
import java.text.Normalizer;
import java.util.Locale;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * The number by which a hospital knows a child. It says nothing of itself: no text of this object ever holds the number,
 * so it cannot slip into a log or an error.
 */
public final class HospitalNumber {
    /** In characters. */
    static final int LONGEST = 30;

    private static final String MEND =
            "Type 1 to " + LONGEST + " letters, figures and signs, as the number stands on the label.";
    private static final Pattern SPACE = Pattern.compile("[\\s\\p{Z}]+");
    private static final int ECHOED = 3;
    private static final int LONG_ENOUGH_TO_ECHO = 6;

    /** Control characters, invisible ones, halves of pairs and what is no character are printed by nobody. */
    private static final Pattern PRINTABLE = Pattern.compile("[\\p{L}\\p{M}\\p{N}\\p{P}\\p{S}\\p{Zs}]+");

    private final String text;

    private HospitalNumber(String text) {
        this.text = text;
    }

    /** What is to be mended of a number as it was typed; null when it is one. Never repeats it. */
    public static @Nullable String fault(String typed) {
        String text = stripped(typed);
        boolean good = text.codePointCount(0, text.length()) <= LONGEST
                && PRINTABLE.matcher(text).matches()
                && !SPACE.matcher(text).replaceAll("").isEmpty();
        return good ? null : MEND;
    }

    /**
     * The number that was typed.
     *
     * @throws IllegalArgumentException if it is none, see {@link #fault}
     */
    public static HospitalNumber of(String typed) {
        if (fault(typed) != null) {
            throw new IllegalArgumentException("no hospital number");
        }
        return new HospitalNumber(stripped(typed));
    }

    private static String stripped(String typed) {
        return Normalizer.normalize(typed.strip(), Normalizer.Form.NFC);
    }

    static HospitalNumber read(byte[] clear) {
        return new HospitalNumber(new String(clear, StandardCharsets.UTF_8));
    }

    /** As it was typed. */
    String shown() {
        return text;
    }

    /** The last three characters, so that a person can see whether it is the right child; empty of a short number. */
    public String ending() {
        return text.length() < LONG_ENOUGH_TO_ECHO ? "" : text.substring(text.length() - ECHOED);
    }

    byte[] bytes() {
        return text.getBytes(StandardCharsets.UTF_8);
    }

    /** What two writings of the same number have in common: no spaces, upper case, composed (NFC). */
    byte[] normal() {
        return normal(text).getBytes(StandardCharsets.UTF_8);
    }

    private static String normal(String text) {
        return Normalizer.normalize(
                SPACE.matcher(Normalizer.normalize(text, Normalizer.Form.NFC))
                        .replaceAll("")
                        .toUpperCase(Locale.ROOT),
                Normalizer.Form.NFC);
    }

    /** Whether a text has the number in it. */
    boolean in(@Nullable String words) {
        return words != null && normal(words).contains(normal(text));
    }

    @Override
    public String toString() {
        return "a hospital number";
    }
}
