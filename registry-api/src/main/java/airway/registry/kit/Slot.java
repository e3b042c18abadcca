package airway.registry.kit;

import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A place in a drawer of a trolley, and what should lie there.
 *
 * @param drawer as it stands on the drawer
 * @param title what should lie there, with its size
 * @param kind the kind of the kit that it is, or null where it is none: then it is only counted
 * @param wanted how many should lie there
 * @param least below this many the trolley is not ready; 0 where it is ready without
 * @param dated whether a use-by day stands on it
 */
record Slot(String drawer, String title, @Nullable UUID kind, int wanted, int least, boolean dated) {}
