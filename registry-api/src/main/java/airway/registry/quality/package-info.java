/** Whether the data can be trusted: what is missing, late, unlikely, contradictory, told twice or never recorded. */
@NullMarked
package airway.registry.quality;

import org.jspecify.annotations.NullMarked;
