package airway.registry.access;

import java.util.Map;
import java.util.UUID;
import org.jooq.DSLContext;
import org.jooq.JSONB;
import org.jooq.impl.DSL;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;

/**
 * One line of the audit about something that has no versions, written in the name of who acts and in the transaction of
 * what it tells. Nothing of a patient comes here.
 */
public record AuditNote(
        String action,
        String object,
        @Nullable Short site,
        @Nullable UUID id,
        @Nullable Integer about,
        @Nullable String reason,
        @Nullable Map<String, ?> detail) {
    private static final JsonMapper JSON = new JsonMapper();

    /** What was done to what kind of thing, in the words of audit.entry. */
    public static AuditNote of(String action, String object) {
        return new AuditNote(action, object, null, null, null, null, null);
    }

    /** The unit it belongs to. */
    public AuditNote unit(@Nullable Short unit) {
        return new AuditNote(action, object, unit, id, about, reason, detail);
    }

    /** The thing. */
    public AuditNote object(UUID thing) {
        return new AuditNote(action, object, site, thing, about, reason, detail);
    }

    /** The person or token it was done to. */
    public AuditNote about(int actor) {
        return new AuditNote(action, object, site, id, actor, reason, detail);
    }

    /** Why. */
    public AuditNote reason(@Nullable String why) {
        return new AuditNote(action, object, site, id, about, why, detail);
    }

    /** Coded words and numbers; old and new value for settings only. */
    public AuditNote detail(Map<String, ?> words) {
        return new AuditNote(action, object, site, id, about, reason, words);
    }

    /** Writes it down. */
    public void write(DSLContext dsl) {
        dsl.execute(
                "select audit.note({0}, {1}, {2}, {3}, {4}, {5}, {6})",
                DSL.val(action),
                DSL.val(object),
                DSL.val(site, Short.class),
                DSL.val(id, UUID.class),
                DSL.val(about, Integer.class),
                DSL.val(reason, String.class),
                DSL.val(detail == null ? null : JSONB.valueOf(JSON.writeValueAsString(detail)), JSONB.class));
    }
}
