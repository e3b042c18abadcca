package airway.stats.sequential;

/**
 * A cumulative sum of two scores from 0 until it is back at 0 or has reached its limit, followed case by case.
 *
 * <p>Where the sum stands depends only on how many scores went up since it left 0 and how many went down, and between 0 and the
 * limit there are at any time only a few such counts. So the chain is exact whatever the scores: they need not be multiples of
 * a common step, and nothing is rounded to a grid.
 */
final class Cycle {

    private final double up;
    private final double down;
    private final double h;
    private final double chanceUp;

    /** Probability of standing above 0 and below the limit, by the number of scores that went up, from the lowest. */
    private double[] alive;

    private long lowest;
    private long cases;
    private double returned;
    private double signalled;

    /** A cycle that has not begun, when failures have the probability p. */
    Cycle(CusumDesign design, double p) {
        double failure = design.hypotheses().failureScore();
        double success = design.hypotheses().successScore();
        up = Math.max(failure, success);
        down = -Math.min(failure, success);
        chanceUp = failure > 0 ? p : 1 - p;
        h = design.h();
        alive = new double[(int) Math.ceil(h / (up + down)) + 3];
    }

    /** Takes one case more. */
    void advance() {
        cases++;
        if (cases == 1) {
            begin();
            return;
        }
        long nextLowest = lowest;
        while (!(height(nextLowest) > CusumPath.ROUNDING)) {
            nextLowest++;
        }
        double[] next = new double[alive.length];
        returned = 0;
        signalled = 0;
        for (int i = 0; i < alive.length; i++) {
            if (alive[i] > 0) {
                place(next, nextLowest, lowest + i, alive[i] * (1 - chanceUp));
                place(next, nextLowest, lowest + i + 1, alive[i] * chanceUp);
            }
        }
        alive = next;
        lowest = nextLowest;
    }

    /** Probability that the cycle ended at 0 with the latest case. */
    double returned() {
        return returned;
    }

    /** Probability that the cycle ended at the limit with the latest case. */
    double signalled() {
        return signalled;
    }

    /** Probability that the cycle has not ended. */
    double alive() {
        double sum = 0;
        for (double mass : alive) {
            sum += mass;
        }
        return sum;
    }

    private void begin() {
        returned = 1 - chanceUp;
        lowest = 1;
        place(alive, lowest, 1, chanceUp);
    }

    private void place(double[] masses, long first, long ups, double mass) {
        double height = height(ups);
        if (height > h - CusumPath.ROUNDING) {
            signalled += mass;
        } else if (height > CusumPath.ROUNDING) {
            masses[(int) (ups - first)] += mass;
        } else {
            returned += mass;
        }
    }

    private double height(long ups) {
        return ups * up - (cases - ups) * down;
    }
}
