package airway.registry.reviews;

import java.nio.ByteBuffer;
import java.util.Base64;
import java.util.Optional;
import java.util.UUID;

/**
 * Where a page of the list ended: the version of the record that was last on it, and whether its review was done then. A
 * version never changes, so the place in the list stays what it was.
 */
record ReviewCursor(boolean done, UUID id, int version) {
    private static final int BYTES = 21;

    /** The cursor in an address: opaque, and nothing of the record in it. */
    String encoded() {
        byte[] bytes = ByteBuffer.allocate(BYTES)
                .put((byte) (done ? 1 : 0))
                .putLong(id.getMostSignificantBits())
                .putLong(id.getLeastSignificantBits())
                .putInt(version)
                .array();
        return Base64.getUrlEncoder().withoutPadding().encodeToString(bytes);
    }

    /** Reads a cursor; empty where it is none. */
    static Optional<ReviewCursor> parse(String text) {
        try {
            byte[] bytes = Base64.getUrlDecoder().decode(text);
            if (bytes.length != BYTES) {
                return Optional.empty();
            }
            ByteBuffer buffer = ByteBuffer.wrap(bytes);
            boolean done = buffer.get() == 1;
            return Optional.of(new ReviewCursor(done, new UUID(buffer.getLong(), buffer.getLong()), buffer.getInt()));
        } catch (IllegalArgumentException e) {
            return Optional.empty();
        }
    }
}
