/**
 * The values that statistics are made of. A proportion, a level of confidence or an interval of these types cannot be
 * wrong in itself, so the methods that use them need not ask again.
 */
@NullMarked
package airway.stats;

import org.jspecify.annotations.NullMarked;
