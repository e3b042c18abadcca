/**
 * Which child a record is about: the hospital number, kept apart from the record and encrypted, looked at only for a
 * reason, and erased before the record.
 */
@NullMarked
package airway.registry.identity;

import org.jspecify.annotations.NullMarked;
