/**
 * How long until it happens, when some were not watched to the end? The product-limit curve and the comparison of two groups.
 * Not watched further must have nothing to do with how it would have gone on; an attempt that was abandoned seldom meets that,
 * and the share abandoned belongs beside the curve.
 */
@NullMarked
package airway.stats.survival;

import org.jspecify.annotations.NullMarked;
