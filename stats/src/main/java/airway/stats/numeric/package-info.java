/**
 * Tails, quantiles and solvers that the questions share. What is here answers no question of its own, checks nothing
 * that its callers have checked, and is no part of what a caller of the module should use.
 */
@NullMarked
package airway.stats.numeric;

import org.jspecify.annotations.NullMarked;
