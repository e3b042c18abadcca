/**
 * What can be seen with how many cases? Sample size and power before the data are in. Power computed afterwards from what
 * was found is not offered: the interval says what the data can and cannot tell apart.
 */
@NullMarked
package airway.stats.power;

import org.jspecify.annotations.NullMarked;
