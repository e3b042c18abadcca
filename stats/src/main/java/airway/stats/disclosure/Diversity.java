package airway.stats.disclosure;

import java.util.Collection;
import java.util.Comparator;
import java.util.List;

/**
 * How many different secrets a class holds (l-diversity): one whose members all have the same secret tells it of each of them.
 * Source: Machanavajjhala and others 2007, ACM Trans Knowl Discov Data 1:3 (from memory).
 */
public final class Diversity {

    private Diversity() {}

    /**
     * Number of different values.
     *
     * @param counts how many have each value, 0 or more
     */
    public static long distinct(Collection<Long> counts) {
        return counts.stream().filter(count -> count > 0).count();
    }

    /**
     * The effective number of values, exp(H) with H the entropy in natural units; from 1 to the number of values.
     *
     * @param counts how many have each value, 0 or more and not all 0
     * @throws IllegalArgumentException if all are 0
     */
    public static double entropy(Collection<Long> counts) {
        double all = total(counts);
        double entropy = 0;
        for (long count : counts) {
            if (count > 0) {
                entropy -= count / all * Math.log(count / all);
            }
        }
        return Math.exp(entropy);
    }

    /**
     * Whether the most frequent value is less than c times as frequent as those from the l-th on together (recursive
     * (c, l)-diversity).
     *
     * @param counts how many have each value, 0 or more and not all 0
     * @param c factor, above 0
     * @param l place, 2 or more
     * @throws IllegalArgumentException if all are 0, or c or l is out of range
     */
    public static boolean recursive(Collection<Long> counts, double c, int l) {
        if (!(c > 0) || l < 2) {
            throw new IllegalArgumentException("c = " + c + ", l = " + l + ", must be above 0, and 2 or more");
        }
        total(counts);
        List<Long> sorted = counts.stream().sorted(Comparator.reverseOrder()).toList();
        long rest = sorted.stream().skip(l - 1L).mapToLong(Long::longValue).sum();
        return sorted.get(0) < c * rest;
    }

    static long total(Collection<Long> counts) {
        long all = counts.stream().mapToLong(Long::longValue).sum();
        if (all < 1) {
            throw new IllegalArgumentException("counts sum to " + all + ", must be 1 or more");
        }
        return all;
    }
}
