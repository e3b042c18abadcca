package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import airway.registry.web.Fonts;
import java.awt.Font;
import java.awt.FontFormatException;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.util.Objects;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;

/** Pixels of a drawing, read back by the Java platform: the size, the ground, the colours, and letters of both weights. */
class PngTest {
    private static final int WHITE = 0xFFFFFFFF;

    private static BufferedImage drawn(Svg svg) throws IOException {
        return ImageIO.read(new ByteArrayInputStream(Png.of(svg.close("svg").toString())));
    }

    private static Svg plot() {
        return new Svg().plot("p", "plot", 100, 40, 13, "Title", "In words.");
    }

    private static int inked(BufferedImage picture) {
        int inked = 0;
        for (int y = 0; y < picture.getHeight(); y++) {
            for (int x = 0; x < picture.getWidth(); x++) {
                inked += picture.getRGB(x, y) == WHITE ? 0 : 1;
            }
        }
        return inked;
    }

    @Test
    void isTwiceAsLargeOnWhite() throws IOException {
        BufferedImage picture =
                drawn(plot().empty("rect", "x", "10", "y", "10", "width", "20", "height", "10", "fill", Svg.PETROL));

        assertThat(picture.getWidth()).isEqualTo(200);
        assertThat(picture.getHeight()).isEqualTo(80);
        assertThat(picture.getRGB(0, 0)).isEqualTo(WHITE);
        assertThat(picture.getRGB(40, 30)).isEqualTo(0xFF0B5A61);
        assertThat(inked(picture)).isEqualTo(40 * 20);
    }

    @Test
    void lettersAreThoseOfTheFontThatComesAlong() throws IOException {
        Svg plain = plot().text("text", "Percent", "x", "10", "y", "25");
        Svg bold = plot().text("text", "Percent", "x", "10", "y", "25", "font-weight", "700");
        Svg other = plot().text("text", "Percent", "x", "10", "y", "25", "font-family", "serif");

        int inked = inked(drawn(plain));
        assertThat(inked).isPositive().isLessThan(inked(drawn(bold))).isNotEqualTo(inked(drawn(other)));
    }

    /** Fonts of one name are one font to the library, which then mixes their letters in a picture. */
    @Test
    void weightsAreFontsOfTheirOwnNames() throws IOException, FontFormatException {
        assertThat(font(400).getFontName()).endsWith("Regular");
        assertThat(font(700).getFontName()).endsWith("Bold");
    }

    private static Font font(int weight) throws IOException, FontFormatException {
        try (InputStream bytes = Fonts.class.getResourceAsStream("sans-" + weight + ".ttf")) {
            return Font.createFont(Font.TRUETYPE_FONT, Objects.requireNonNull(bytes));
        }
    }

    @Test
    void takesOnlyPlots() {
        assertThatIllegalArgumentException().isThrownBy(() -> Png.of("<svg></svg>"));
    }
}
