package airway.registry.charts;

import java.util.List;

/**
 * A drawing with the words that belong to it, for other rooms that print it.
 *
 * @param title what is drawn
 * @param says what it shows, in a sentence
 * @param remarks what signals, and what the drawing cannot tell
 * @param svg for a wide page
 * @param svgSmall for a narrow one
 */
public record Picture(String title, String says, List<String> remarks, String svg, String svgSmall) {}
