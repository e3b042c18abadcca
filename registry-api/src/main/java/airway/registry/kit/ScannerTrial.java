package airway.registry.kit;

import airway.registry.web.Dots;
import com.google.zxing.BarcodeFormat;
import com.google.zxing.EncodeHintType;
import com.google.zxing.common.BitMatrix;
import com.google.zxing.datamatrix.DataMatrixWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/**
 * What a scanner makes of a known symbol. Its content has what keyboards get wrong: a separator, small and capital letters, y
 * and z, signs that stand elsewhere on other keyboards.
 */
final class ScannerTrial {
    /** The number is the one that GS1 uses for examples. */
    static final String CONTENT = "010950600013435210yz-YZ/1" + Scan.SEPARATOR + "21a_B.7";

    private static final String PREFIX = "^][A-Za-z][0-9]";
    private static final List<String> STAND_INS = List.of("{GS}", "\u241d", "|", "^", "~", "#", "@", " ", "<GS>");

    private ScannerTrial() {}

    /**
     * One character of what was sent.
     *
     * @param place from 1
     * @param shown itself, or its name where it cannot be seen
     * @param code in Unicode, as U+001D
     */
    public record Sign(int place, String shown, String code) {}

    static List<Sign> signs(String sent) {
        List<Sign> signs = new ArrayList<>();
        int[] codes = sent.codePoints().toArray();
        for (int i = 0; i < codes.length; i++) {
            String shown = switch (codes[i]) {
                case Scan.SEPARATOR -> "separator";
                case ' ' -> "space";
                case '\n', '\r' -> "line end";
                case '\t' -> "tab";
                default -> Character.isISOControl(codes[i]) ? "control" : Character.toString(codes[i]);
            };
            signs.add(new Sign(i + 1, shown, String.format("U+%04X", codes[i])));
        }
        return signs;
    }

    /** What is wrong with the scanner, in words for whoever sets it up. */
    static String verdict(String sent) {
        String bare = sent.strip().replaceFirst(PREFIX, "");
        if (bare.isEmpty()) {
            return "Nothing has come. Put the cursor into the box, then scan.";
        }
        if (bare.startsWith(String.valueOf(Scan.SEPARATOR))) {
            bare = bare.substring(1);
        }
        if (bare.equals(CONTENT)) {
            return "All of it came as it should. This scanner can be used.";
        }
        String without = CONTENT.replace(String.valueOf(Scan.SEPARATOR), "");
        for (String standIn : STAND_INS) {
            if (bare.equals(CONTENT.replace(String.valueOf(Scan.SEPARATOR), standIn))) {
                return standIn.equals("{GS}") || standIn.equals("\u241d")
                        ? "All of it came as it should; the separator comes as " + standIn + ", which is understood."
                        : "The separator comes as “" + standIn + "”. Set the scanner to send it as ASCII 29 (group"
                                + " separator), or as {GS}.";
            }
        }
        if (bare.equals(without)) {
            return "The separator is lost: a lot or serial number would swallow what follows it. Set the scanner to send"
                    + " it as ASCII 29 (group separator), or as {GS}.";
        }
        String plain = plain(bare);
        if (plain.equals(without)) {
            return "Only what separates the parts is wrong. Set the scanner to send the separator as ASCII 29 (group"
                    + " separator), or as {GS}.";
        }
        if (plain.equalsIgnoreCase(without)) {
            return "Capital and small letters are not kept apart. Set the scanner to send letters as they are; look at"
                    + " the caps lock of the keyboard too.";
        }
        if (swapped(plain).equalsIgnoreCase(without)) {
            return "y and z are exchanged: the scanner types for another keyboard than this machine has. Set its keyboard"
                    + " language.";
        }
        int place = 0;
        while (place < Math.min(bare.length(), CONTENT.length()) && bare.charAt(place) == CONTENT.charAt(place)) {
            place++;
        }
        return "It differs from the symbol at character " + (place + 1)
                + ". Scan once more; if it stays so, set the keyboard language of the scanner to that of this machine.";
    }

    private static String plain(String sent) {
        return sent.replaceAll("[\\p{Cntrl}\u241d]", "").replace("{GS}", "");
    }

    private static String swapped(String sent) {
        return sent.toLowerCase(Locale.ROOT)
                .replace('y', '\u0000')
                .replace('z', 'y')
                .replace('\u0000', 'z');
    }

    /** The known symbol as a GS1 DataMatrix, in SVG. */
    static String symbol() {
        BitMatrix dots = new DataMatrixWriter()
                .encode(
                        CONTENT,
                        BarcodeFormat.DATA_MATRIX,
                        0,
                        0,
                        Map.of(EncodeHintType.GS1_FORMAT, true, EncodeHintType.DATA_MATRIX_COMPACT, true));
        return Dots.svg(dots, "The symbol to scan", 2);
    }
}
