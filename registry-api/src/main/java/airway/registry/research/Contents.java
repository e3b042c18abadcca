package airway.registry.research;

import airway.stats.disclosure.Generalisation;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.security.DigestOutputStream;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import org.jspecify.annotations.Nullable;

/** What a package tells: the rows, and how well the children in them are hidden. */
record Contents(Released released, RiskReport report) {
    /**
     * Makes them.
     *
     * @param pseudonyms of the package; null where its rows carry none
     */
    static Contents of(Coarsening coarsening, Generalisation found, @Nullable Pseudonyms pseudonyms) {
        return new Contents(Released.of(coarsening, found, pseudonyms), RiskReport.of(coarsening, found));
    }

    /** Names exactly these contents: SHA-256 of the rows and the report, in hexadecimal. */
    String digest() {
        MessageDigest digest = sha256();
        try (OutputStream out = new DigestOutputStream(OutputStream.nullOutputStream(), digest)) {
            released.write(out, () -> {});
            out.write(report.json().toString().getBytes(StandardCharsets.UTF_8));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return HexFormat.of().formatHex(digest.digest());
    }

    static MessageDigest sha256() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException(e);
        }
    }
}
