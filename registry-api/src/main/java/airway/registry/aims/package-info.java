/** What a unit wants to improve: one sentence, and the measures that tell how it goes. Nothing is overwritten. */
@NullMarked
package airway.registry.aims;

import org.jspecify.annotations.NullMarked;
