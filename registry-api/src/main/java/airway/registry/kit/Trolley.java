package airway.registry.kit;

import airway.registry.access.Site;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.List;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A trolley and what should lie in it. Nothing is built in: no source gives one interval or one layout for all.
 *
 * @param version counts from 1
 * @param title what the unit calls it; the place of an item on it is this, a comma, and the drawer
 * @param inUse whether it is checked and counted
 * @param dueAt by when of the day a check is due, in the zone of the unit
 * @param checkDays a check is due on this many days after the last one
 * @param fullDays a full check is due on this many days after the last full one
 * @param light whether light or picture is tried at each check
 * @param batteryLeast charge in percent below which it is not ready; null where there is no battery to read
 * @param recorder whether a device on it records
 */
record Trolley(
        Site site,
        UUID id,
        int version,
        String title,
        boolean inUse,
        LocalTime dueAt,
        int checkDays,
        int fullDays,
        boolean light,
        @Nullable Integer batteryLeast,
        boolean recorder,
        List<Slot> slots) {
    Trolley {
        slots = List.copyOf(slots);
    }

    /** The place of an item in a drawer of it, as a move tells it. */
    String place(String drawer) {
        return title + ", " + drawer;
    }

    /** Whether an item that was told to be there is on it. */
    boolean holds(@Nullable String place) {
        return place != null && (place.equalsIgnoreCase(title) || startsLike(place));
    }

    private boolean startsLike(String place) {
        String begin = title + ",";
        return place.regionMatches(true, 0, begin, 0, begin.length());
    }

    /** When the next check is due after one that was made: the day counts as it is in the unit, summer time or not. */
    Instant due(Instant checked, int days) {
        return LocalDate.ofInstant(checked, site.zone())
                .plusDays(days)
                .atTime(dueAt)
                .atZone(site.zone())
                .toInstant();
    }
}
