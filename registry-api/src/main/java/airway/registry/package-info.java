/** The airway event registry: the program and its command line. */
@NullMarked
package airway.registry;

import org.jspecify.annotations.NullMarked;
