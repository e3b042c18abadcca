/** What can be wrong with a request, in words for the person who sent it. Knows no status codes. */
@NullMarked
package airway.registry.problem;

import org.jspecify.annotations.NullMarked;
