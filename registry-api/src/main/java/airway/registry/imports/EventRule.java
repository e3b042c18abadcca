package airway.registry.imports;

import java.util.Set;
import tools.jackson.databind.node.ObjectNode;

/**
 * A column that tells whether an event happened.
 *
 * @param yes cells that say so
 * @param no cells that say it did not; an empty cell and a "not known" add nothing either
 * @param event the event as JSON
 */
record EventRule(String column, Set<String> yes, Set<String> no, ObjectNode event) {}
