package airway.registry.kit;

import airway.registry.access.Site;
import airway.registry.problem.Problem;
import airway.registry.web.JsonFields;
import java.time.DateTimeException;
import java.time.LocalTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** A trolley and what should lie in it, as they came in. */
final class TrolleyForm {
    static final int MOST_SLOTS = 60;
    static final int LONGEST_TITLE = 40;
    static final int LONGEST_DRAWER = 15;

    private static final int MOST_WANTED = 99;
    private static final int MOST_DAYS = 31;
    private static final int MOST_FULL_DAYS = 92;
    private static final List<String> YES_NO = List.of("yes", "no");
    private static final Set<String> SLOT = Set.of("drawer", "title", "wanted", "least", "dated");
    private static final Set<String> FIELDS = Set.of(
            "site_id",
            "title",
            "in_use",
            "due_at",
            "check_days",
            "full_days",
            "light",
            "battery_least",
            "recorder",
            "slots");

    private TrolleyForm() {}

    /**
     * Reads a trolley. A slot of the title of a kind is of that kind.
     *
     * @param before the version it follows; null for a new trolley
     * @param kinds those of the unit
     * @throws Problem.Malformed if it has other fields
     * @throws Problem.Invalid with everything that is wrong
     */
    static Trolley read(JsonNode body, Site site, @Nullable Trolley before, List<Kind> kinds) {
        JsonFields fields = JsonFields.of(body, FIELDS);
        if (before != null && !body.path("site_id").asString(site.code()).equals(site.code())) {
            fields.fault("site_id", "site.other", "A trolley stays with its unit; leave this out.");
        }
        String title = fields.needed("title", fields.text("title", LONGEST_TITLE), "Write what you call the trolley.");
        if (title != null && title.contains(",")) {
            fields.fault("title", "title.comma", "Leave the comma out: it stands between trolley and drawer.");
        }
        LocalTime due = fields.needed("due_at", time(fields), "Write by when of the day a check is due, as 07:30.");
        Integer days = fields.needed(
                "check_days",
                fields.whole("check_days", 1, MOST_DAYS),
                "Write after how many days it is checked again; 1 is daily.");
        Integer full = fields.needed(
                "full_days",
                fields.whole("full_days", 1, MOST_FULL_DAYS),
                "Write after how many days every drawer is looked at again.");
        if (days != null && full != null && full < days) {
            fields.fault("full_days", "days.fewer", "A full check serves as a short one: not more often than that.");
        }
        boolean light = yes(fields, "light", false);
        Integer battery = fields.whole("battery_least", 1, 100);
        boolean recorder = yes(fields, "recorder", false);
        boolean inUse = yes(fields, "in_use", true);
        List<Slot> slots = slots(fields, body.path("slots"), kinds);
        fields.check();
        return new Trolley(
                site,
                before == null ? UUID.randomUUID() : before.id(),
                before == null ? 1 : before.version() + 1,
                Objects.requireNonNull(title),
                inUse,
                Objects.requireNonNull(due),
                Objects.requireNonNull(days),
                Objects.requireNonNull(full),
                light,
                battery,
                recorder,
                slots);
    }

    private static boolean yes(JsonFields fields, String name, boolean otherwise) {
        String code = fields.code(name, YES_NO, "Send yes or no.");
        return code == null ? otherwise : code.equals("yes");
    }

    private static @Nullable LocalTime time(JsonFields fields) {
        String text = fields.text("due_at", 8);
        try {
            return text == null ? null : LocalTime.parse(text).withSecond(0).withNano(0);
        } catch (DateTimeException e) {
            fields.fault("due_at", "time", "Write the time as 07:30.");
            return null;
        }
    }

    private static List<Slot> slots(JsonFields fields, JsonNode list, List<Kind> kinds) {
        List<Slot> slots = new ArrayList<>();
        if (!list.isArray() || list.isEmpty() || list.size() > MOST_SLOTS) {
            fields.fault("slots", "required", "Tell what should lie where: from 1 to " + MOST_SLOTS + " lines.");
            return slots;
        }
        for (int i = 0; i < list.size(); i++) {
            Optional.ofNullable(slot(fields.element("slots", i, SLOT), kinds)).ifPresent(slots::add);
        }
        return slots;
    }

    private static @Nullable Slot slot(JsonFields fields, List<Kind> kinds) {
        String drawer = fields.needed("drawer", fields.text("drawer", LONGEST_DRAWER), "Write what is on the drawer.");
        String title = fields.needed(
                "title", fields.text("title", ItemForm.LONGEST_TITLE), "Write what lies there, with its size.");
        Integer wanted =
                fields.needed("wanted", fields.whole("wanted", 1, MOST_WANTED), "Write how many should lie there.");
        Integer least = fields.whole("least", 0, MOST_WANTED);
        if (wanted != null && least != null && least > wanted) {
            fields.fault("least", "least.more", "The least cannot be more than what should lie there.");
        }
        boolean dated = yes(fields, "dated", false);
        if (drawer == null || title == null || wanted == null) {
            return null;
        }
        // Of single use it is counted what lies there: it has no moves to be followed by.
        UUID kind = kinds.stream()
                .filter(one -> !one.singleUse())
                .filter(one -> one.title().equals(title))
                .findFirst()
                .map(Kind::id)
                .orElse(null);
        return new Slot(drawer, title, kind, wanted, least == null ? wanted : least, dated);
    }
}
