package airway.stats.chart;

import airway.stats.numeric.NormalLaw;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.MatrixUtils;
import org.apache.commons.math3.linear.RealMatrix;

/** The rules of {@link ZoneRules}, each by itself, and how often they signal together. */
public enum ZoneRule {
    /** A point beyond 3 sigma. */
    BEYOND_THREE(1, 1, 3),
    /** Two of three points beyond 2 sigma on one side. */
    TWO_OF_THREE(2, 3, 2),
    /** Four of five points beyond 1 sigma on one side. */
    FOUR_OF_FIVE(4, 5, 1),
    /** Eight points in a row on one side of the centre. */
    EIGHT_ON_ONE_SIDE(8, 8, 0);

    private static final double MOST_SDS = 10;
    private static final int[] ZONES = {-4, -3, -2, -1, 1, 2, 3, 4};

    private final int needed;
    private final int latest;
    private final int sigmas;

    ZoneRule(int needed, int latest, int sigmas) {
        this.needed = needed;
        this.latest = latest;
        this.sigmas = sigmas;
    }

    /**
     * Average number of points until any of the rules signals, for independent normal data (Champ CW, Woodall WH 1987,
     * Technometrics 29:393-399, doi:10.1080/00401706.1987.10488266; from memory). Exact: the linear equations of the chain whose
     * states are what the rules remember.
     *
     * <pre>{@code
     * ZoneRule.runLength(Set.of(ZoneRule.BEYOND_THREE), 0)   // 370.4
     * }</pre>
     *
     * @param rules the rules that are used, at least one
     * @param shift distance of the mean from the centre in standard deviations, in [-10, 10]
     * @throws IllegalArgumentException if there is no rule, or the shift is out of range or not a number
     */
    public static double runLength(Set<ZoneRule> rules, double shift) {
        if (rules.isEmpty()) {
            throw new IllegalArgumentException("rules = [], must be at least one");
        }
        if (!(Math.abs(shift) <= MOST_SDS)) {
            throw new IllegalArgumentException("shift = " + shift + ", must be in [-10, 10]");
        }
        List<ZoneRule> used = List.copyOf(rules);
        Map<List<List<Integer>>, Integer> states = new HashMap<>();
        List<List<List<Integer>>> order = new ArrayList<>();
        List<Move> moves = new ArrayList<>();
        List<List<Integer>> nothing =
                used.stream().map(rule -> List.<Integer>of()).toList();
        states.put(nothing, 0);
        order.add(nothing);
        for (int from = 0; from < order.size(); from++) {
            for (int zone : ZONES) {
                List<List<Integer>> to = next(used, order.get(from), zone);
                if (to.isEmpty()) {
                    continue;
                }
                Integer known = states.putIfAbsent(to, states.size());
                if (known == null) {
                    order.add(to);
                }
                moves.add(new Move(from, known == null ? states.size() - 1 : known, chance(zone, shift)));
            }
        }
        RealMatrix stays = MatrixUtils.createRealIdentityMatrix(order.size());
        moves.forEach(move -> stays.addToEntry(move.from, move.to, -move.chance));
        return new LUDecomposition(stays)
                .getSolver()
                .solve(new ArrayRealVector(order.size(), 1))
                .getEntry(0);
    }

    /** What each rule remembers after a point in the zone; nothing at all when one of them signals. */
    private static List<List<Integer>> next(List<ZoneRule> rules, List<List<Integer>> memories, int zone) {
        List<List<Integer>> next = new ArrayList<>();
        for (int i = 0; i < rules.size(); i++) {
            ZoneRule rule = rules.get(i);
            int side = Math.abs(zone) > rule.sigmas ? Integer.signum(zone) : 0;
            List<Integer> seen = new ArrayList<>(memories.get(i));
            seen.add(side);
            if (side != 0 && seen.stream().filter(one -> one == side).count() >= rule.needed) {
                return List.of();
            }
            next.add(rule.remembered(seen));
        }
        return next;
    }

    /** The latest sides, without those that can no longer count towards a signal. */
    private List<Integer> remembered(List<Integer> sides) {
        List<Integer> kept = new ArrayList<>(sides.subList(Math.max(0, sides.size() - latest + 1), sides.size()));
        for (int i = 0; i < kept.size(); i++) {
            int side = kept.get(i);
            long later = kept.subList(i, kept.size()).stream()
                    .filter(one -> one == side)
                    .count();
            // The window in which this point is the oldest ends after so many more points.
            int toCome = latest - (kept.size() - i);
            if (later + toCome < needed) {
                kept.set(i, 0);
            }
        }
        while (!kept.isEmpty() && kept.get(0) == 0) {
            kept.remove(0);
        }
        return kept;
    }

    /** Probability that a point lies in the zone: 1 is next to the centre, 4 beyond 3 sigma, on the side of its sign. */
    private static double chance(int zone, double shift) {
        int outwards = Math.abs(zone);
        double centre = Integer.signum(zone) * shift;
        double within = NormalLaw.upperTail(outwards - 1 - centre);
        return outwards == 4 ? within : within - NormalLaw.upperTail(outwards - centre);
    }

    /** A step from one state to another. */
    private record Move(int from, int to, double chance) {}
}
