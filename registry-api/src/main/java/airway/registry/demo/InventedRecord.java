package airway.registry.demo;

import java.time.OffsetDateTime;
import tools.jackson.databind.node.ObjectNode;

/** The body of a record of nobody, and the row it is said to come from. */
record InventedRecord(OffsetDateTime start, String sourceRow, ObjectNode body) {}
