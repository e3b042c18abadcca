package airway.stats.chart;

import airway.stats.Answer;
import airway.stats.Proportion;
import airway.stats.Reason;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * A chart of proportions cut into phases, each with its own centre and limits, and each needing 10 points of its own.
 *
 * <p>A cut belongs to a recorded change that was decided beforehand, never to where the signal is.
 *
 * @param phases the phases in order; together they hold every point once
 */
public record PhasedPChart(List<Phase> phases) {

    /**
     * One phase.
     *
     * @param first number of its first point in the whole series
     * @param last number of its last point, included
     * @param answer its chart, points numbered as in the whole series, or why it has no limits
     */
    public record Phase(int first, int last, Answer<PChart> answer) {}

    /** The phases, copied. */
    public PhasedPChart {
        phases = List.copyOf(phases);
    }

    /**
     * Cuts a series into phases and charts each for itself.
     *
     * @param subgroups successes among cases, in order of time; 0 of 0 is a gap
     * @param starts number of the first point of each phase, rising, the first of them 1
     * @throws IllegalArgumentException if the starts do not begin with 1, do not rise, or run beyond the subgroups
     */
    public static PhasedPChart of(List<Proportion> subgroups, List<Integer> starts) {
        if (starts.isEmpty() || starts.get(0) != 1) {
            throw new IllegalArgumentException("starts = " + starts + ", must be a list that begins with 1");
        }
        List<Phase> phases = new ArrayList<>(starts.size());
        for (int i = 0; i < starts.size(); i++) {
            int first = starts.get(i);
            int last = i + 1 < starts.size() ? starts.get(i + 1) - 1 : subgroups.size();
            if (last < first || last > subgroups.size()) {
                throw new IllegalArgumentException(
                        "starts = " + starts + ", must be rising and in [1, " + subgroups.size() + "]");
            }
            Answer<PChart> own = PChart.of(subgroups.subList(first - 1, last));
            phases.add(new Phase(first, last, own.map(chart -> chart.numberedFrom(first))));
        }
        return new PhasedPChart(phases);
    }

    /** Why a phase has no limits, of the first such phase; empty if every phase has them. */
    public Optional<Reason> refusal() {
        return phases.stream()
                .map(Phase::answer)
                .map(answer -> answer.fold(ok -> Optional.<Reason>empty(), no -> Optional.of(no.reason())))
                .flatMap(Optional::stream)
                .findFirst();
    }
}
