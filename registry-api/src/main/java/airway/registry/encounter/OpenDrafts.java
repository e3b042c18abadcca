package airway.registry.encounter;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.dictionary.Layer;
import java.time.Instant;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Set;
import java.util.UUID;
import java.util.stream.Stream;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;

/** The half-filled records of a unit, in words, for whoever goes on with them. */
@Component
@ConditionalOnWebApplication
public class OpenDrafts {
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("EEE d MMM, HH:mm", Locale.UK);
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("EEE d MMM", Locale.UK);

    private final Drafts drafts;
    private final DeviceSetups setups;
    private final Encounters encounters;
    private final Sites sites;

    OpenDrafts(Drafts drafts, DeviceSetups setups, Encounters encounters, Sites sites) {
        this.drafts = drafts;
        this.setups = setups;
        this.encounters = encounters;
        this.sites = sites;
    }

    /**
     * One draft.
     *
     * @param about whom it is about, as far as was typed
     * @param open how many questions of the first layer are open
     * @param kept when it was begun and last written, and when it goes if nobody goes on with it
     */
    public record Line(UUID id, String about, int open, String kept) {}

    /** The drafts of the unit, the one written last first. */
    public List<Line> of(Site site) {
        List<Draft> open = drafts.open(site);
        if (open.isEmpty()) {
            return List.of();
        }
        Offered offered = new Offered(site, sites.actor(), setups.all(site), encounters.earlierUses(site), false);
        return open.stream().map(draft -> line(draft, offered)).toList();
    }

    private static Line line(Draft draft, Offered offered) {
        Encounter encounter = EncounterForm.sketch(
                new RecordForm(draft.typed(), offered, draft.typed().opened(draft.begunAt())).body());
        String age = InWords.age(encounter.answers());
        String weight = encounter.answers().words("weight_kg");
        String reason = encounter.answers().words("indication_main");
        String about = Stream.of(
                        age,
                        weight == null || weight.equals("not known") ? null : weight + " kg",
                        reason == null ? null : InWords.lower(reason))
                .filter(Objects::nonNull)
                .reduce((one, two) -> one + ", " + two)
                .orElse("Age and weight are open");
        int left = Incomplete.pointers(encounter, offered.setupsById(), Set.of(Layer.FIRST))
                .size();
        return new Line(
                draft.id(),
                InWords.sentence(about),
                left,
                "Begun " + AT.format(at(draft.begunAt(), offered)) + "; last kept "
                        + AT.format(at(draft.writtenAt(), offered)) + ". Deleted on "
                        + DAY.format(at(draft.writtenAt().plus(Drafts.KEPT), offered)) + " if nobody goes on with it.");
    }

    private static ZonedDateTime at(Instant instant, Offered offered) {
        return instant.atZone(offered.site().zone());
    }
}
