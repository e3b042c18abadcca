package airway.stats.strata;

import airway.stats.Estimate;

/**
 * One effect for all strata.
 *
 * @param estimate difference or ratio, with its interval
 * @param standardError standard error of the difference, or of the logarithm of the ratio; above 0
 * @param strataUsed number of strata that say something about this effect
 * @param strataLeftOut number of the others, to be told beside the result
 */
public record StratifiedEffect(Estimate estimate, double standardError, int strataUsed, int strataLeftOut) {}
