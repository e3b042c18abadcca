/**
 * What leaves the circle of those who may read the records: tables of counts, with small numbers hidden, held against all
 * that was told before.
 */
@NullMarked
package airway.registry.release;

import org.jspecify.annotations.NullMarked;
