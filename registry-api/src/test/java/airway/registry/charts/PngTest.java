package airway.registry.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
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

    @Test
    void weightsDoNotMixInOnePicture() throws IOException {
        int plain = inked(drawn(plot().text("text", "Nn33", "x", "10", "y", "25")));
        int bold = inked(drawn(plot().text("text", "Nn33", "x", "10", "y", "25", "font-weight", "700")));
        Svg both = plot().text("text", "Nn33", "x", "10", "y", "15", "font-weight", "700")
                .text("text", "Nn33", "x", "10", "y", "35");

        assertThat(inked(drawn(both))).isEqualTo(plain + bold);
        assertThat(inked(drawn(plot().text("text", "Nn33", "x", "10", "y", "25"))))
                .isEqualTo(plain);
    }

    @Test
    void takesOnlyPlots() {
        assertThatIllegalArgumentException().isThrownBy(() -> Png.of("<svg></svg>"));
    }
}
