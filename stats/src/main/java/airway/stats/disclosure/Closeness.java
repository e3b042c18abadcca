package airway.stats.disclosure;

import java.util.List;

/**
 * How far the secrets of a class are from those of all (t-closeness): 0 where they are alike, at most 1. Source: Li, Li and
 * Venkatasubramanian 2007, IEEE ICDE (from memory), whose published example is a test.
 */
public enum Closeness {
    /** Values without an order: half the sum of the differences. */
    UNORDERED {
        @Override
        double distance(double[] p, double[] q) {
            double sum = 0;
            for (int i = 0; i < p.length; i++) {
                sum += Math.abs(p[i] - q[i]);
            }
            return sum / 2;
        }
    },
    /** Values in order: the earth mover's distance, each step from a value to the next as long as any other. */
    ORDERED {
        @Override
        double distance(double[] p, double[] q) {
            double ahead = 0;
            double sum = 0;
            for (int i = 0; i < p.length - 1; i++) {
                ahead += p[i] - q[i];
                sum += Math.abs(ahead);
            }
            return p.length == 1 ? 0 : sum / (p.length - 1);
        }
    };

    /**
     * The distance of a class from all.
     *
     * @param some how many of the class have each value
     * @param all how many of all have each value, in the same order
     * @throws IllegalArgumentException if the lists differ in length or hold nothing
     */
    public double of(List<Long> some, List<Long> all) {
        if (some.size() != all.size()) {
            throw new IllegalArgumentException(some.size() + " values of " + all.size() + ", must be as many");
        }
        return distance(shares(some), shares(all));
    }

    abstract double distance(double[] p, double[] q);

    private static double[] shares(List<Long> counts) {
        double total = Diversity.total(counts);
        return counts.stream().mapToDouble(count -> count / total).toArray();
    }
}
