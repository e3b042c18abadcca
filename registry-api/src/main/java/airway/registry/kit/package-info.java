/** The kit: reusable items and the log of their moves; what is written on an item, read by a scanner. */
@NullMarked
package airway.registry.kit;

import org.jspecify.annotations.NullMarked;
