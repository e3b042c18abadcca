/** Units, and who acts for them. */
@NullMarked
package airway.registry.access;

import org.jspecify.annotations.NullMarked;
