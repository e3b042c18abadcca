/**
 * Do units differ by more than chance? Funnel plots: each unit by its number of cases, with limits about a common target. No
 * ranking.
 */
@NullMarked
package airway.stats.funnel;

import org.jspecify.annotations.NullMarked;
