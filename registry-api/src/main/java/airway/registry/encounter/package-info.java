/**
 * The post-procedure record: encounter, course, attempt, event and the set-ups used. A record goes one way down (read,
 * checked, stored as a version) and one way back (loaded, with what was worked out).
 */
@NullMarked
package airway.registry.encounter;

import org.jspecify.annotations.NullMarked;
