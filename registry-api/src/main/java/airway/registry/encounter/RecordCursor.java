package airway.registry.encounter;

import java.nio.ByteBuffer;
import java.util.Base64;
import java.util.Optional;
import java.util.UUID;

/**
 * Where a page of the list ended: the version of the record that was last on it. A version never changes, so the place
 * in the list stays what it was, whatever is added, put right or withdrawn meanwhile.
 */
record RecordCursor(UUID id, int version) {
    private static final int BYTES = 20;

    /** The cursor in an address: opaque, and nothing of the record in it. */
    String encoded() {
        byte[] bytes = ByteBuffer.allocate(BYTES)
                .putLong(id.getMostSignificantBits())
                .putLong(id.getLeastSignificantBits())
                .putInt(version)
                .array();
        return Base64.getUrlEncoder().withoutPadding().encodeToString(bytes);
    }

    /** Reads a cursor; empty where it is none. */
    static Optional<RecordCursor> parse(String text) {
        try {
            byte[] bytes = Base64.getUrlDecoder().decode(text);
            if (bytes.length != BYTES) {
                return Optional.empty();
            }
            ByteBuffer buffer = ByteBuffer.wrap(bytes);
            return Optional.of(new RecordCursor(new UUID(buffer.getLong(), buffer.getLong()), buffer.getInt()));
        } catch (IllegalArgumentException e) {
            return Optional.empty();
        }
    }
}
