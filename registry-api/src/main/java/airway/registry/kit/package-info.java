/** The kit: what is written on an item, read by a scanner. */
@NullMarked
package airway.registry.kit;

import org.jspecify.annotations.NullMarked;
