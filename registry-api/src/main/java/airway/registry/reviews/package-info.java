/** Single cases that a unit looks at: which there are, what was learnt from each, and what is to be done. */
@NullMarked
package airway.registry.reviews;

import org.jspecify.annotations.NullMarked;
