/**
 * What is asked of the fact rows: which encounters (units, period and filters), and which measure of them. Charts count
 * by it, lists filter by it, data quality says what it leaves out.
 */
@NullMarked
package airway.registry.cohort;

import org.jspecify.annotations.NullMarked;
