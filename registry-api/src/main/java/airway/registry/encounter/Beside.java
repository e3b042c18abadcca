package airway.registry.encounter;

import java.util.UUID;
import org.jooq.DSLContext;

/** What is kept with a record and is no part of it, such as which child it is about: in the same transaction, or not. */
interface Beside {
    /** Nothing. */
    Beside NOTHING = new Beside() {
        @Override
        public void keep(DSLContext dsl, UUID record) {
            // There is nothing to keep.
        }

        @Override
        public boolean isKept(DSLContext dsl, UUID record) {
            return true;
        }
    };

    /** Keeps it, inside the transaction that keeps the record. */
    void keep(DSLContext dsl, UUID record);

    /** Whether a record has it: a form that is sent twice with something else beside is not the same form. */
    boolean isKept(DSLContext dsl, UUID record);
}
