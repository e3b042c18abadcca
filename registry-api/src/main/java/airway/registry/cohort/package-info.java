/** Which encounters a chart or comparison is about: units, period and filters, over the fact rows. */
@NullMarked
package airway.registry.cohort;

import org.jspecify.annotations.NullMarked;
