package airway.registry.demo;

import java.util.SplittableRandom;

/** What chance gives, the same for the same seed on every machine. */
final class Draws {
    private static final long GOLDEN = 0x9e3779b97f4a7c15L;

    private final SplittableRandom random;

    private Draws(long seed) {
        this.random = new SplittableRandom(seed);
    }

    /** A stream of its own for each seed and purpose, so that one more draw here changes nothing there. */
    static Draws of(long seed, String purpose) {
        long mixed = seed * GOLDEN;
        for (int i = 0; i < purpose.length(); i++) {
            mixed = (mixed ^ purpose.charAt(i)) * 0xbf58476d1ce4e5b9L;
            mixed ^= mixed >>> 29;
        }
        return new Draws(mixed);
    }

    boolean chance(double probability) {
        return random.nextDouble() < probability;
    }

    double between(double low, double high) {
        return low + (high - low) * random.nextDouble();
    }

    /** A whole number, both ends included. */
    int whole(int low, int high) {
        return random.nextInt(low, high + 1);
    }

    String pick(Mix mix) {
        double total = mix.weights().stream().mapToDouble(Double::doubleValue).sum();
        double left = random.nextDouble() * total;
        for (int i = 0; i < mix.codes().size(); i++) {
            left -= mix.weights().get(i);
            if (left < 0) {
                return mix.codes().get(i);
            }
        }
        return mix.codes().get(mix.codes().size() - 1);
    }

    String pick(String mix) {
        return pick(Mix.of(mix));
    }

    double normal(double mean, double deviation) {
        double radius = Math.sqrt(-2 * Math.log(1 - random.nextDouble()));
        return mean + deviation * radius * Math.cos(2 * Math.PI * random.nextDouble());
    }

    /** Right-skewed: the median, and the standard deviation of the logarithm. */
    double skewed(double median, double deviation) {
        return Math.exp(normal(Math.log(median), deviation));
    }

    /** Counts that vary more than by chance alone: variance = mean + mean squared / size. */
    int negativeBinomial(double mean, int size) {
        double gamma = 0;
        for (int i = 0; i < size; i++) {
            gamma -= Math.log(1 - random.nextDouble());
        }
        double limit = Math.exp(-mean * gamma / size);
        int count = -1;
        for (double product = 1; product > limit; product *= random.nextDouble()) {
            count++;
        }
        return Math.max(0, count);
    }
}
