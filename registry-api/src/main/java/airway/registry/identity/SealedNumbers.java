package airway.registry.identity;

import static airway.sql.generated.identity.Tables.HOSPITAL_NUMBER;

import airway.registry.keys.Keys;
import airway.registry.keys.SealedTable;
import java.util.List;
import java.util.Map;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.Table;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;

/** Hospital numbers, to be sealed anew; the hash they are found by is made anew with them. */
@Component
@ConditionalOnWebApplication
class SealedNumbers implements SealedTable {
    private final Keys keys;

    SealedNumbers(Keys keys) {
        this.keys = keys;
    }

    @Override
    public String title() {
        return "Hospital numbers";
    }

    @Override
    public Table<?> table() {
        return HOSPITAL_NUMBER;
    }

    @Override
    public List<Field<?>> key() {
        return List.of(HOSPITAL_NUMBER.SITE_ID, HOSPITAL_NUMBER.ENCOUNTER_ID);
    }

    @Override
    public Field<byte[]> sealed() {
        return HOSPITAL_NUMBER.SEALED;
    }

    @Override
    public String place(Record row) {
        return HospitalNumbers.place(site(row), row.get(HOSPITAL_NUMBER.ENCOUNTER_ID));
    }

    @Override
    public Map<Field<?>, Object> beside(Record row, byte[] clear, int number) {
        byte[] normal = HospitalNumber.read(clear).normal();
        return Map.of(HOSPITAL_NUMBER.LOOKUP, keys.lookup(number, HospitalNumbers.space(site(row)), normal));
    }

    private static short site(Record row) {
        return row.get(HOSPITAL_NUMBER.SITE_ID);
    }
}
