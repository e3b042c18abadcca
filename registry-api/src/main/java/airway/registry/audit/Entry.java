package airway.registry.audit;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.UUID;
import org.erdtman.jcs.JsonCanonicalizer;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/**
 * An entry of the audit as it is sealed: every column of audit.entry.
 *
 * @param at as the database writes it in UTC, to the microsecond
 * @param hash of the version, in hexadecimal, or null
 * @param detail JSON as the database writes it, or null
 */
record Entry(
        long id,
        String at,
        int actor,
        @Nullable Short site,
        String action,
        String object,
        @Nullable UUID objectId,
        @Nullable Integer version,
        @Nullable String hash,
        @Nullable Integer about,
        @Nullable String reason,
        @Nullable String detail) {
    private static final JsonMapper JSON = new JsonMapper();

    /**
     * What is hashed: RFC 8785, fields without a value left out, so that a column added later leaves old seals as they
     * are. Time and detail are strings as the database writes them: nothing that can stand in an entry is rounded, and
     * none can stop the sealing.
     *
     * @param seq place in the chain, from 1
     * @param previous hash of the seal before, or null for the first
     */
    String canonical(long seq, @Nullable String previous) {
        ObjectNode json = JSON.createObjectNode()
                .put("seq", seq)
                .put("entry_id", id)
                .put("at", at)
                .put("actor_id", actor)
                .put("action", action)
                .put("object", object);
        if (previous != null) {
            json.put("previous", previous);
        }
        if (site != null) {
            json.put("site_id", site);
        }
        if (objectId != null) {
            json.put("object_id", objectId.toString());
        }
        if (version != null) {
            json.put("version", version);
        }
        if (hash != null) {
            json.put("hash", hash);
        }
        if (about != null) {
            json.put("about", about);
        }
        if (reason != null) {
            json.put("reason", reason);
        }
        if (detail != null) {
            json.put("detail", detail);
        }
        try {
            return new JsonCanonicalizer(json.toString()).getEncodedString();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** The seal of this entry at a place in the chain. */
    Seal seal(long seq, @Nullable String previous) {
        byte[] text = canonical(seq, previous).getBytes(StandardCharsets.UTF_8);
        try {
            byte[] hashed = MessageDigest.getInstance("SHA-256").digest(text);
            return new Seal(seq, id, previous, HexFormat.of().formatHex(hashed));
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has it", e);
        }
    }
}
