/**
 * Is this comparison like for like? Two or more groups compared within strata (age bands, difficulty), how alike the
 * groups are, whether the effect is the same in every stratum, and how strong an unrecorded difference would have to be.
 * No method here makes up for what was not recorded.
 */
@NullMarked
package airway.stats.strata;

import org.jspecify.annotations.NullMarked;
