package airway.registry.web;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.Base64;
import java.util.Objects;

/** The fonts that come along, for papers and pictures that are made here and need nothing else. */
public final class Fonts {
    /** Rules of a stylesheet with the fonts in them. */
    public static final String FOR_SCREEN = rules("");

    /** The same, so that a PDF carries them along. */
    public static final String FOR_PRINT = rules("-fs-pdf-font-embed: embed; -fs-pdf-font-encoding: Identity-H; ");

    private Fonts() {}

    private static String rules(String more) {
        return rule(400, more) + rule(700, more);
    }

    private static String rule(int weight, String more) {
        String name = "sans-" + weight + ".ttf";
        try (InputStream bytes =
                Objects.requireNonNull(Fonts.class.getResourceAsStream("/airway/registry/web/" + name))) {
            return "@font-face { font-family: 'Reg Sans'; font-weight: " + weight + "; " + more
                    + "src: url(data:font/ttf;base64," + Base64.getEncoder().encodeToString(bytes.readAllBytes())
                    + ") }\n";
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
