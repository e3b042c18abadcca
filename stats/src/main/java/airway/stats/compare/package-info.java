/**
 * Do these two groups differ? Tests for proportions and for measurements, the shift between two samples, and the
 * adjustment for asking often. A p-value never comes alone: the interval of the difference, in the package of intervals,
 * comes first.
 */
@NullMarked
package airway.stats.compare;

import org.jspecify.annotations.NullMarked;
