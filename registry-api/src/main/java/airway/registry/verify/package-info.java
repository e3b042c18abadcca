/** Looks whether everything that should hold over the whole database does. */
@NullMarked
package airway.registry.verify;

import org.jspecify.annotations.NullMarked;
