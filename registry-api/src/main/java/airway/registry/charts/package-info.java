/**
 * Charts and comparisons of measures. A request is read, its numbers are counted in SQL, limits and intervals are made
 * by the module of statistics, and one writer draws.
 */
@NullMarked
package airway.registry.charts;

import org.jspecify.annotations.NullMarked;
