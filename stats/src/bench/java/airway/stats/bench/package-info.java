/** How long the heavy questions take. Part of no build but the one that asks for it. */
@NullMarked
package airway.stats.bench;

import org.jspecify.annotations.NullMarked;
