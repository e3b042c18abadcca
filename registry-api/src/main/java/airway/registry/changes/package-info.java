/** What a unit changed in its practice and when, so that charts can be cut before and after it. */
@NullMarked
package airway.registry.changes;

import org.jspecify.annotations.NullMarked;
