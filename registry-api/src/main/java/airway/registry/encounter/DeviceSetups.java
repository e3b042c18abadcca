package airway.registry.encounter;

import static airway.sql.generated.encounter.Tables.DEVICE_SETUP;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.ActorTransactions;
import airway.registry.dictionary.Level;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import java.text.Normalizer;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.regex.Pattern;
import org.jooq.DSLContext;
import org.jooq.Field;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;

/** The set-ups a unit uses. A set-up is never changed: records point to it. */
@Component
public class DeviceSetups {
    private static final Pattern ID = Pattern.compile("[a-z0-9][a-z0-9_-]{0,63}");
    private static final Set<String> SCREEN_MODES =
            Set.of("video_standard", "video_hyper", "video_channel", "combined");
    private static final Set<String> SCREEN_PLACES = Set.of("handle", "cable", "monitor", "wireless");
    static final int LONGEST_TITLE = 120;

    private final ActorTransactions transactions;

    DeviceSetups(ActorTransactions transactions) {
        this.transactions = transactions;
    }

    /** All set-ups of a unit, in the order they were added. */
    public List<DeviceSetup> all(Site site) {
        return transactions.read(dsl -> List.copyOf(ofSite(dsl, site).values()));
    }

    /** The same inside a running transaction, by key. */
    public Map<String, DeviceSetup> ofSite(DSLContext dsl, Site site) {
        Map<String, DeviceSetup> setups = new LinkedHashMap<>();
        dsl.selectFrom(DEVICE_SETUP)
                .where(DEVICE_SETUP.SITE_ID.eq(site.no()))
                .orderBy(DEVICE_SETUP.SETUP_NO)
                .forEach(row -> setups.put(
                        row.get(DEVICE_SETUP.DEVICE_SETUP_ID),
                        new DeviceSetup(
                                row.get(DEVICE_SETUP.DEVICE_SETUP_ID),
                                row.get(DEVICE_SETUP.TITLE),
                                EncounterQuery.answers(Level.DEVICE_SETUP, row))));
        return setups;
    }

    /**
     * Adds a set-up to the list of a unit.
     *
     * @param body as JSON, with an optional {@code site_id}
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid with every fault
     * @throws Problem.Conflict if the unit has one of this key or title
     */
    public DeviceSetup add(JsonNode body) {
        DeviceSetup setup = read(body);
        return transactions.write(dsl -> add(dsl, Sites.inBody(dsl, body), setup));
    }

    /**
     * Reads and checks a set-up without adding it.
     *
     * @throws Problem.Malformed if it names a field that does not exist
     * @throws Problem.Invalid with every fault
     */
    public DeviceSetup read(JsonNode body) {
        List<Fault> unreadable = new ArrayList<>();
        List<Fault> faults = new ArrayList<>();
        if (!body.isObject()) {
            throw new Problem.Malformed(Fault.at("", "type", "Send one set-up as a JSON object."));
        }
        Answers answers = new JsonAnswers(unreadable, faults)
                .read(body, "", Level.DEVICE_SETUP, Set.of("site_id", "device_setup_id", "title"));
        if (!unreadable.isEmpty()) {
            throw new Problem.Malformed("The set-up has fields that cannot be taken.", unreadable);
        }
        for (String text : List.of("title", "device_setup_id")) {
            JsonNode given = body.path(text);
            if (!given.isMissingNode() && !given.isNull() && !given.isString()) {
                throw new Problem.Invalid(Fault.at("/" + text, "type", "Send a text."));
            }
        }
        String title = body.path("title").asString("").strip();
        if (title.isEmpty() || title.length() > LONGEST_TITLE || title.chars().anyMatch(Character::isISOControl)) {
            faults.add(Fault.at("/title", "required", "Give a title of 1 to 120 characters, without names of makers."));
        }
        String id = body.path("device_setup_id").isString()
                ? body.path("device_setup_id").asString()
                : slug(title);
        if (!ID.matcher(id).matches()) {
            faults.add(Fault.at(
                    "/device_setup_id", "text", "Use 1 to 64 of a-z, 0-9, - and _, beginning with a letter or digit."));
        }
        faults.addAll(fits(answers));
        if (!faults.isEmpty()) {
            throw new Problem.Invalid(faults);
        }
        return new DeviceSetup(id, title, answers);
    }

    private static List<Fault> fits(Answers setup) {
        List<Fault> faults = new ArrayList<>(CrossChecks.conditions("", setup, setup.alone()));
        boolean screenMode = SCREEN_MODES.contains(String.valueOf(setup.text("device_mode")));
        boolean screenPlace = SCREEN_PLACES.contains(String.valueOf(setup.text("display_mounting")));
        if (screenMode && setup.is("display_mounting", "none")) {
            faults.add(Check.SETUP_SCREEN.at("/display_mounting", "With this kind the picture is on a screen: where?"));
        }
        if (setup.is("device_mode", "direct") && screenPlace) {
            faults.add(Check.SETUP_SCREEN.at("/display_mounting", "A direct laryngoscope has no screen: none."));
        }
        if (setup.is("device_mode", "direct") && setup.is("blade_geometry", "hyper")) {
            faults.add(Check.SETUP_BLADE.at(
                    "/blade_geometry", "A strongly angled blade gives no direct view: mend one of the two."));
        }
        return faults;
    }

    /**
     * Adds a set-up to the list of a unit, inside a running transaction.
     *
     * @throws Problem.Conflict if the unit has one of this key or title
     */
    public DeviceSetup add(DSLContext dsl, Site site, DeviceSetup setup) {
        Map<Field<?>, Object> row = new LinkedHashMap<>();
        row.put(DEVICE_SETUP.SITE_ID, site.no());
        row.put(DEVICE_SETUP.DEVICE_SETUP_ID, setup.id());
        row.put(DEVICE_SETUP.TITLE, setup.title());
        setup.answers().values().forEach((name, value) -> row.put(DEVICE_SETUP.field(name), value));
        int added = dsl.insertInto(DEVICE_SETUP).set(row).onConflictDoNothing().execute();
        if (added == 0) {
            throw new Problem.Conflict(
                    "The unit has a set-up of this key or title already.",
                    List.of(Fault.at("/title", "setup.there", "Use the one that is there, or give another title.")));
        }
        return setup;
    }

    private static String slug(String title) {
        String plain = Normalizer.normalize(title, Normalizer.Form.NFKD).toLowerCase(Locale.ROOT);
        String slug = plain.replaceAll("[^a-z0-9]+", "-").replaceAll("^-|-$", "");
        return slug.length() > 64 ? slug.substring(0, 64) : slug;
    }
}
