package airway.registry.kit;

import airway.registry.access.Site;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A kind of item with what its maker says about reprocessing. Nothing is built in: what stands here was entered.
 *
 * @param version counts from 1
 * @param title what the unit calls it, with its size
 * @param profile how one of it is made ready again
 * @param instructions where the instructions of the maker are found; without them nothing of the kind is released
 * @param cycleLimit how many cycles the maker allows, or null where none is stated
 * @param leastReady how many should be ready, or in date in stock; null where the unit sets no number
 */
record Kind(
        Site site,
        UUID id,
        int version,
        String title,
        Profile profile,
        @Nullable String instructions,
        @Nullable Integer cycleLimit,
        @Nullable Integer leastReady) {

    /** A kind that is processed in cycles. */
    Kind(
            Site site,
            UUID id,
            int version,
            String title,
            @Nullable String instructions,
            @Nullable Integer cycleLimit,
            @Nullable Integer leastReady) {
        this(site, id, version, title, Profile.PROCESSED, instructions, cycleLimit, leastReady);
    }

    /** How one of a kind is made ready again. */
    enum Profile {
        PROCESSED("Processed in a cycle: disinfected or sterilised"),
        WIPED("Wiped between patients, where its maker says that this is enough"),
        SINGLE_USE("Single use: counted by lot, never made ready again");

        private final String words;

        Profile(String words) {
            this.words = words;
        }

        /** As it reads on a page. */
        public String words() {
            return words;
        }

        /** As it is sent and kept. */
        public String code() {
            return name().toLowerCase(Locale.ROOT);
        }

        static List<String> codes() {
            return Arrays.stream(values()).map(Profile::code).toList();
        }

        static Optional<Profile> of(@Nullable String code) {
            return Arrays.stream(values())
                    .filter(profile -> profile.code().equals(code))
                    .findFirst();
        }
    }

    boolean singleUse() {
        return profile == Profile.SINGLE_USE;
    }

    boolean wiped() {
        return profile == Profile.WIPED;
    }
}
