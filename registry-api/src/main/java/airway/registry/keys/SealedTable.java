package airway.registry.keys;

import java.util.List;
import java.util.Map;
import org.jooq.Field;
import org.jooq.Record;
import org.jooq.Table;

/** A table with a sealed value in each row: what must be known to seal the rows anew when there is a newer key. */
public interface SealedTable {
    /** What the rows are, in words: "Hospital numbers". */
    String title();

    Table<?> table();

    /** The primary key. */
    List<Field<?>> key();

    Field<byte[]> sealed();

    /** The place that the value of a row is bound to. */
    String place(Record row);

    /**
     * What else of a row depends on the key.
     *
     * @param clear what was sealed
     * @param number of the key that it is sealed with now
     */
    default Map<Field<?>, Object> beside(Record row, byte[] clear, int number) {
        return Map.of();
    }
}
