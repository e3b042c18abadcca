/** One story for each person who uses the register, told by a real browser. */
@NullMarked
package airway.registry.journey;

import org.jspecify.annotations.NullMarked;
