package airway.registry.identity;

import java.util.List;
import java.util.UUID;
import org.jooq.DSLContext;

/** What was typed into a record where others see it: a hospital number must not be among it. */
public interface TypedInRecord {
    /** What stands there now, inside a running transaction; empty where there is no such record. */
    List<String> typed(DSLContext dsl, UUID record);
}
