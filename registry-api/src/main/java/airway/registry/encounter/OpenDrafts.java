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
     * @param about what is done, and about whom as far as was typed; empty where it cannot be opened
     * @param path where one goes on
     * @param more what is open, when it was begun and last written, and when it goes if nobody goes on with it
     */
    public record Line(UUID id, String about, String path, String more) {}

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
        Typed typed = draft.typed();
        if (typed == null) {
            return new Line(
                    draft.id(), "", "", "This draft cannot be opened any more; whoever runs the register can say why.");
        }
        Encounter encounter =
                EncounterForm.sketch(new RecordForm(typed, offered, typed.opened(draft.begunAt())).body());
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
        String kept = "Begun " + AT.format(at(draft.begunAt(), offered)) + "; last kept "
                + AT.format(at(draft.writtenAt(), offered)) + ". Deleted on "
                + DAY.format(at(draft.writtenAt().plus(Drafts.KEPT), offered)) + " if nobody goes on with it.";
        UUID amends = typed.amends();
        return amends == null
                ? new Line(
                        draft.id(),
                        "Go on: " + InWords.sentence(about),
                        "/record",
                        open(Incomplete.pointers(encounter, offered.setupsById(), Set.of(Layer.FIRST))
                                        .size())
                                + " " + kept)
                : new Line(
                        draft.id(),
                        "Go on putting right: " + InWords.sentence(about),
                        "/records/" + amends + "/amend",
                        "The record stands as it was until then. " + kept);
    }

    private static String open(int questions) {
        return switch (questions) {
            case 0 -> "No question is open.";
            case 1 -> "One question is open.";
            default -> questions + " questions are open.";
        };
    }

    private static ZonedDateTime at(Instant instant, Offered offered) {
        return instant.atZone(offered.site().zone());
    }
}
