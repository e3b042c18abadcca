/**
 * Old records from a table, through the same door as new ones. A mapping file says what each column means; nothing is
 * lost silently and nothing is invented.
 */
@NullMarked
package airway.registry.imports;

import org.jspecify.annotations.NullMarked;
