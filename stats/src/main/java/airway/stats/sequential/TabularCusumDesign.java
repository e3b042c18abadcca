package airway.stats.sequential;

/**
 * A two-sided cumulative sum of measurements before there are data, all in the unit of the data.
 *
 * @param k allowance: what a point must differ from the target before it counts, half the change to be noticed; in [0, 1e100]
 * @param h limit of either sum, in (0, 1e100]; often four or five standard deviations
 * @param headStart where both sums start, in [0, h/2]; half the limit notices sooner that the start was wrong already
 */
public record TabularCusumDesign(double k, double h, double headStart) {

    private static final double LARGEST = 1e100;
    private static final double MOST_SDS = 20;

    /**
     * A design.
     *
     * @throws IllegalArgumentException if a number is out of range or not a number
     */
    public TabularCusumDesign {
        if (!(k >= 0 && k <= LARGEST)) {
            throw new IllegalArgumentException("k = " + k + ", must be in [0, 1e100]");
        }
        if (!(h > 0 && h <= LARGEST)) {
            throw new IllegalArgumentException("h = " + h + ", must be in (0, 1e100]");
        }
        if (!(headStart >= 0 && headStart <= h / 2)) {
            throw new IllegalArgumentException("headStart = " + headStart + ", must be in [0, " + h / 2 + "]");
        }
    }

    /** A design whose sums start at 0. */
    public TabularCusumDesign(double k, double h) {
        this(k, h, 0);
    }

    /**
     * Average number of points until either sum signals, for independent normal data. With A the run length of one sum from 0
     * and A(s) that from the head start, (A₁(s)/A₁ + A₂(s)/A₂ - 1)/(1/A₁ + 1/A₂) (Lucas JM, Crosier RB 1982, Technometrics
     * 24:199-205, doi:10.1080/00401706.1982.10487759; from memory); without head start 1/(1/A₁ + 1/A₂).
     * One side is equal to {@code xcusum.arl} of the R package spc, to nine figures or more. Approximations after
     * Siegmund are coarser (from memory).
     *
     * @param shift distance of the mean from the target, within 10 standard deviations
     * @param sigma standard deviation of a point, above 0; k and h at most 20 times as large
     * @throws IllegalArgumentException if a number is out of range or not a number
     */
    public double runLength(double shift, double sigma) {
        if (!(sigma > 0 && sigma <= LARGEST && Math.max(k, h) <= MOST_SDS * sigma)) {
            throw new IllegalArgumentException(
                    "sigma = " + sigma + ", must be above 0, finite and at least " + Math.max(k, h) / MOST_SDS);
        }
        EwmaDesign.checkShift(shift / sigma);
        double above = oneSided(shift / sigma, sigma, 0);
        double below = oneSided(-shift / sigma, sigma, 0);
        double gain = headStart == 0
                ? 1
                : share(oneSided(shift / sigma, sigma, headStart), above)
                        + share(oneSided(-shift / sigma, sigma, headStart), below)
                        - 1;
        return gain / (1 / above + 1 / below);
    }

    private double oneSided(double shift, double sigma, double start) {
        return NormalChain.cusum(k / sigma, h / sigma, shift).averageRunLength(start / sigma);
    }

    /** The run length from the head start as a share of that from 0; 1 where both are beyond all numbers. */
    private static double share(double fromHeadStart, double fromZero) {
        return fromZero == Double.POSITIVE_INFINITY ? 1 : fromHeadStart / fromZero;
    }
}
