/**
 * Data for research: what they would be like, requests for them with their yes or no, and the packages that leave. Whether a
 * child could be recognised is judged by one engine, for the outlook and for the package alike.
 */
@NullMarked
package airway.registry.research;

import org.jspecify.annotations.NullMarked;
