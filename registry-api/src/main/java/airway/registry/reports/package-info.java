/** The quarterly report of a unit: numbers drafted from the records, texts by people, locked when it is made final. */
@NullMarked
package airway.registry.reports;

import org.jspecify.annotations.NullMarked;
