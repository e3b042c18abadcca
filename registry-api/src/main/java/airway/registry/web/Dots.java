package airway.registry.web;

import com.google.zxing.common.BitMatrix;

/** Draws symbols that a camera or a scanner reads. */
public final class Dots {
    private Dots() {}

    /**
     * The symbol in SVG, black on white also on a dim screen.
     *
     * @param label what it is, for those who do not see it
     * @param quiet how many dots of white the symbol still needs around it
     */
    public static String svg(BitMatrix dots, String label, int quiet) {
        StringBuilder path = new StringBuilder();
        for (int y = 0; y < dots.getHeight(); y++) {
            for (int x = 0; x < dots.getWidth(); x++) {
                if (dots.get(x, y)) {
                    path.append('M')
                            .append(x + quiet)
                            .append(' ')
                            .append(y + quiet)
                            .append("h1v1h-1z");
                }
            }
        }
        return "<svg class=\"qr\" role=\"img\" aria-label=\"" + label + "\" viewBox=\"0 0 "
                + (dots.getWidth() + 2 * quiet) + ' ' + (dots.getHeight() + 2 * quiet)
                + "\"><rect width=\"100%\" height=\"100%\" fill=\"#fff\"/><path fill=\"#000\" d=\"" + path
                + "\"/></svg>";
    }
}
