package airway.stats;

import java.util.SplittableRandom;
import java.util.function.Function;
import java.util.stream.IntStream;
import java.util.stream.Stream;

/** Inputs drawn with a fixed seed: the same in every run. */
public final class RandomInputs {

    private RandomInputs() {}

    /** The given number of draws from a generator with a fixed seed. */
    public static <T> Stream<T> draws(int number, Function<SplittableRandom, T> draw) {
        SplittableRandom random = new SplittableRandom(20_260_101);
        return IntStream.range(0, number).mapToObj(i -> draw.apply(random));
    }

    /** A proportion of up to 10, 100 or 1000 cases, sometimes of none or nothing but successes. */
    public static Proportion proportion(SplittableRandom random) {
        int n = random.nextInt(1, new int[] {11, 101, 1001}[random.nextInt(3)]);
        return switch (random.nextInt(8)) {
            case 0 -> new Proportion(0, n);
            case 1 -> new Proportion(n, n);
            default -> new Proportion(random.nextInt(n + 1), n);
        };
    }

    /** A level of confidence from 50 to 99.9 %. */
    public static Confidence confidence(SplittableRandom random) {
        return new Confidence(random.nextDouble(0.5, 0.999));
    }

    /** A proportion with a level of confidence. */
    public record AtLevel(Proportion proportion, Confidence confidence) {}

    /** Proportions with levels. */
    public static Stream<AtLevel> proportionsAtLevels() {
        return draws(300, random -> new AtLevel(proportion(random), confidence(random)));
    }

    /** Two groups with a level of confidence. */
    public record TwoGroups(Proportion first, Proportion second, Confidence confidence) {}

    /** Pairs of groups with levels. */
    public static Stream<TwoGroups> twoGroups() {
        return draws(200, random -> new TwoGroups(proportion(random), proportion(random), confidence(random)));
    }
}
