package airway.stats.funnel;

import airway.stats.Proportion;
import airway.stats.chart.Limits;
import java.util.Optional;

/**
 * One unit of a funnel plot.
 *
 * @param number place of the unit in the list that was given, from 1; not a rank
 * @param counts successes among its cases
 * @param usual limits beyond which 1 unit in 20 lies by chance; none without cases
 * @param far limits beyond which 1 unit in 500 lies by chance, the only ones that ask for a look; none without cases
 */
public record FunnelPoint(int number, Proportion counts, Optional<Limits> usual, Optional<Limits> far) {}
