/** The front page. */
@NullMarked
package airway.registry.home;

import org.jspecify.annotations.NullMarked;
