package airway.stats.sequential;

/**
 * An exponentially weighted moving average before there are data: how much the latest point weighs, and how wide the limits
 * are.
 *
 * @param lambda weight of the latest point, in [0.02, 1]; small for small changes, 1 for a chart of the points themselves
 * @param width distance of the limits from the target in standard deviations of the average, in (0, 5]
 */
public record EwmaDesign(double lambda, double width) {

    /** λ = 0.2 and limits at 2.86: a false alarm in 370 points on average, as a Shewhart chart has (house rule). */
    public static final EwmaDesign DEFAULT = new EwmaDesign(0.2, 2.86);

    private static final double LARGEST_SHIFT = 10;

    /**
     * A design.
     *
     * @throws IllegalArgumentException if weight or width is out of range or not a number
     */
    public EwmaDesign {
        if (!(lambda >= 0.02 && lambda <= 1)) {
            throw new IllegalArgumentException("lambda = " + lambda + ", must be in [0.02, 1]");
        }
        if (!(width > 0 && width <= 5)) {
            throw new IllegalArgumentException("width = " + width + ", must be in (0, 5]");
        }
    }

    /**
     * Average number of points until the signal, for independent normal data, limits of final width from the first point on,
     * and an average that starts at the target (integral equation of Crowder SV 1987, Technometrics 29:401-407,
     * doi:10.1080/00401706.1987.10488267; tables in Lucas JM, Saccucci MS 1990, Technometrics 32:1-12,
     * doi:10.1080/00401706.1990.10484583; both from memory). Limits that grow with the points signal somewhat sooner. Equal to
     * {@code xewma.arl(sided = "two")} of the R package spc, to nine figures or more; programs that simulate, or that divide the
     * interval into equal steps, are coarser (from memory).
     *
     * @param shift distance of the mean from the target in standard deviations of a point, in [-10, 10]
     * @throws IllegalArgumentException if the shift is out of range or not a number
     */
    public double runLength(double shift) {
        checkShift(shift);
        return NormalChain.ewma(lambda, width * finalSd(), shift).averageRunLength(0);
    }

    /** Standard deviation of the average after many points, in standard deviations of a point: √(λ/(2 - λ)). */
    double finalSd() {
        return Math.sqrt(lambda / (2 - lambda));
    }

    /** Refuses a shift that is not in [-10, 10]. */
    static void checkShift(double shift) {
        if (!(Math.abs(shift) <= LARGEST_SHIFT)) {
            throw new IllegalArgumentException("shift = " + shift + ", must be in [-10, 10]");
        }
    }
}
