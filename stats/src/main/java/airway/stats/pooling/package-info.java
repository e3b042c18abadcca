/**
 * What do several sites say together? Random-effects pooling of one effect from each site: their average, how much they
 * differ beyond chance, and where a further site may lie. Sites stay anonymous: nothing here ranks them.
 */
@NullMarked
package airway.stats.pooling;

import org.jspecify.annotations.NullMarked;
