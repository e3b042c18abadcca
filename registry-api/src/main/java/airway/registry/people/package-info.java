/** Signing in and out, one's own account, and the pages of the administrator: people, units, tokens, settings. */
@NullMarked
package airway.registry.people;

import org.jspecify.annotations.NullMarked;
