/**
 * Compares every method with reference values that other programs computed. The values are data: a case names its method,
 * and a table of adapters says how this library is asked.
 */
@NullMarked
package airway.stats.oracle;

import org.jspecify.annotations.NullMarked;
