package airway.registry.charts;

import airway.registry.web.Fonts;
import java.awt.Color;
import java.io.ByteArrayOutputStream;
import java.io.StringReader;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.apache.batik.transcoder.TranscoderException;
import org.apache.batik.transcoder.TranscoderInput;
import org.apache.batik.transcoder.TranscoderOutput;
import org.apache.batik.transcoder.image.ImageTranscoder;
import org.apache.batik.transcoder.image.PNGTranscoder;

/** A drawing as pixels: the same SVG, twice its size, on white, in the font of the pages. */
final class Png {
    private static final int TIMES = 2;
    private static final Pattern START = Pattern.compile("^<svg [^>]*viewBox=\"0 0 (\\d+) (\\d+)\"[^>]*>");

    private Png() {}

    /**
     * Draws.
     *
     * @param svg as {@link Svg#plot} begins it
     * @throws IllegalArgumentException if it begins otherwise
     */
    static byte[] of(String svg) {
        Matcher start = START.matcher(svg);
        if (!start.find()) {
            throw new IllegalArgumentException("not a plot");
        }
        String lettered = start.group() + "<style type=\"text/css\">" + Fonts.FOR_SCREEN + "</style>"
                + svg.substring(start.end());
        PNGTranscoder pen = new PNGTranscoder();
        pen.addTranscodingHint(ImageTranscoder.KEY_WIDTH, (float) TIMES * Integer.parseInt(start.group(1)));
        pen.addTranscodingHint(ImageTranscoder.KEY_HEIGHT, (float) TIMES * Integer.parseInt(start.group(2)));
        pen.addTranscodingHint(ImageTranscoder.KEY_BACKGROUND_COLOR, Color.WHITE);
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try {
            pen.transcode(new TranscoderInput(new StringReader(lettered)), new TranscoderOutput(out));
        } catch (TranscoderException e) {
            throw new IllegalStateException("a drawing of ours cannot be drawn", e);
        }
        return out.toByteArray();
    }
}
