package airway.registry.kit;

import airway.registry.access.Site;
import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** Kinds and items as they came in. */
final class ItemForm {
    static final int LONGEST_TITLE = 60;
    static final int LONGEST_INSTRUCTIONS = 300;
    static final int LONGEST_LABEL = 100;

    private static final int MOST_CYCLES = 10_000;
    private static final int MOST_READY = 999;
    private static final int LONGEST_SERIAL = 20;
    private static final int LONGEST_GIAI = 30;

    private ItemForm() {}

    /** An item as entered, and where it is. */
    record Entered(Item item, @Nullable String place) {}

    /**
     * Reads a kind.
     *
     * @param before the version it follows; null for a new kind
     * @throws Problem.Malformed if it has other fields
     * @throws Problem.Invalid with everything that is wrong
     */
    static Kind kind(JsonNode body, Site site, @Nullable Kind before) {
        JsonFields fields = JsonFields.of(
                body, Set.of("site_id", "title", "profile", "instructions", "cycle_limit", "least_ready"));
        if (before != null
                && !body.path("site_id")
                        .asString(before.site().code())
                        .equals(before.site().code())) {
            fields.fault("site_id", "site.other", "A kind stays with its unit; leave this out.");
        }
        String title = fields.needed(
                "title",
                fields.text("title", LONGEST_TITLE),
                "Write what you call it, with its size; no maker's name.");
        String words = "Send how it is made ready again: " + String.join(", ", Kind.Profile.codes()) + ".";
        String sent = fields.code("profile", Kind.Profile.codes(), words);
        Kind.Profile profile = Kind.Profile.of(sent).orElse(before == null ? Kind.Profile.PROCESSED : before.profile());
        if (before != null && profile != before.profile()) {
            fields.fault("profile", "profile.other", "A kind stays what it is; enter another kind.");
        }
        String instructions = fields.text("instructions", LONGEST_INSTRUCTIONS);
        Integer limit = fields.whole("cycle_limit", 1, MOST_CYCLES);
        if (limit != null && profile == Kind.Profile.SINGLE_USE) {
            fields.fault("cycle_limit", "not_asked", "Single use has no cycles; leave this out.");
        }
        if (limit != null && instructions == null) {
            fields.fault("instructions", "required", "Write where the maker states this limit.");
        }
        Integer least = fields.whole("least_ready", 1, MOST_READY);
        fields.check();
        return new Kind(
                site,
                before == null ? UUID.randomUUID() : before.id(),
                before == null ? 1 : before.version() + 1,
                Objects.requireNonNull(title),
                profile,
                instructions,
                limit,
                least);
    }

    /**
     * Reads a new item; refuses as {@link #kind}.
     *
     * @param kinds those of the unit
     */
    static Entered item(JsonNode body, List<Kind> kinds) {
        JsonFields fields = JsonFields.of(
                body, Set.of("site_id", "kind", "name", "gtin", "serial", "giai", "cycles_before", "place"));
        String title = fields.needed("kind", fields.text("kind", LONGEST_TITLE), "Name its kind.");
        Optional<Kind> kind =
                kinds.stream().filter(one -> one.title().equals(title)).findFirst();
        if (title != null && kind.isEmpty()) {
            fields.fault("kind", "kind.unknown", "There is no such kind in the unit; enter the kind first.");
        } else if (kind.isPresent() && kind.get().singleUse()) {
            fields.fault("kind", "kind.single_use", "Single use is counted by lot: enter what came as stock.");
        }
        String name = fields.needed(
                "name",
                MoveForm.number(fields, "name", MoveForm.LONGEST_NAME),
                "Write the number on its label; leading zeros count.");
        String gtin = fields.text("gtin", 14);
        if (gtin != null && !gtin.matches("\\d{14}")) {
            fields.fault("gtin", "gtin.form", "Write all 14 digits.");
        }
        String serial = MoveForm.number(fields, "serial", LONGEST_SERIAL);
        if ((gtin == null) != (serial == null)) {
            fields.fault(
                    gtin == null ? "gtin" : "serial",
                    "required",
                    "Only both together, GTIN and serial number, name one item.");
        }
        Integer before = fields.needed(
                "cycles_before",
                fields.whole("cycles_before", 0, MOST_CYCLES),
                "Write how many cycles it has behind it; 0 if none.");
        String giai = MoveForm.number(fields, "giai", LONGEST_GIAI);
        String place = fields.text("place", MoveForm.LONGEST_PLACE);
        fields.check();
        return new Entered(
                new Item(
                        UUID.randomUUID(),
                        kind.orElseThrow(),
                        Objects.requireNonNull(name),
                        gtin,
                        serial,
                        giai,
                        Objects.requireNonNull(before)),
                place);
    }
}
