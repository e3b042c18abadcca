/**
 * The keys with which the little that must not be readable in the database is encrypted. They live in files outside the
 * database; the database only knows which keys it was written with.
 */
@NullMarked
package airway.registry.keys;

import org.jspecify.annotations.NullMarked;
