/**
 * How sure is this number? Intervals for a proportion, a rate, a mean, a median, and for the difference between two
 * proportions. Every method says what it does at no cases, no successes and nothing but successes, and refuses where no
 * interval exists.
 */
@NullMarked
package airway.stats.interval;

import org.jspecify.annotations.NullMarked;
