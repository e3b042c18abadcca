/**
 * Has it changed, case by case? Charts that add up small evidence: cumulative sums, moving averages, learning curves, an
 * interval that holds at every look; and how long each of them takes to signal when nothing has changed and when something
 * has. Cases and points are numbered from 1. Nothing here draws, and nothing here judges a person.
 */
@NullMarked
package airway.stats.sequential;

import org.jspecify.annotations.NullMarked;
