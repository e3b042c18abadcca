/** What the tests of the rooms share. */
@NullMarked
package airway.registry.testing;

import org.jspecify.annotations.NullMarked;
