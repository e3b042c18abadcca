package airway.registry.encounter;

import airway.registry.identity.TypedInRecord;
import java.util.List;
import java.util.UUID;
import org.jooq.DSLContext;
import org.springframework.stereotype.Component;

/** The labels of items in a record: the kit keeper sees those that name nothing. */
@Component
class LabelsOfRecord implements TypedInRecord {
    @Override
    public List<String> typed(DSLContext dsl, UUID record) {
        return new EncounterQuery(dsl).labels(record);
    }
}
