/**
 * Can somebody be recognised? What may leave a unit: small cells of a table and what can be worked out about them, and the
 * risk that a child in a list of rows is found again. Everything here refuses rather than warns.
 */
@NullMarked
package airway.stats.disclosure;

import org.jspecify.annotations.NullMarked;
