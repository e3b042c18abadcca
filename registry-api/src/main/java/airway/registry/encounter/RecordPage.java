package airway.registry.encounter;

import airway.registry.access.Site;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Level;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * All that the record page shows: what may be answered, what was answered, and what needs another look.
 *
 * @param told what needs another look, in the order of the page
 * @param note a line above the form when nothing was saved for a reason that is not in the answers, or empty
 * @param folded what each attempt but the last came to, in words
 * @param before the version that is put right, or null on a new record
 */
public record RecordPage(
        Typed typed,
        Offered offered,
        StartTime start,
        List<Questions.Told> told,
        String note,
        List<String> folded,
        @Nullable Recorded before) {
    private static final List<String> PLACES = List.of("picu", "ed", "theatre", "ward", "transport");

    /** The places of most intubations: the unit's own kind first, then the usual ones. */
    public List<Tile> places() {
        return places(offered.site());
    }

    static List<Tile> places(Site unit) {
        Set<String> codes = new LinkedHashSet<>(PLACES);
        if (Tile.of("location").stream().anyMatch(tile -> tile.value().equals(unit.kind()))) {
            codes = Stream.concat(Stream.of(unit.kind()), PLACES.stream())
                    .collect(Collectors.toCollection(LinkedHashSet::new));
        }
        List<Tile> tiles = new ArrayList<>(Tile.of("location", List.copyOf(codes)));
        tiles.add(new Tile("more", "Another place", "or not known"));
        return tiles;
    }

    public List<Tile> morePlaces() {
        Set<String> shown = places().stream().map(Tile::value).collect(Collectors.toSet());
        return Tile.of("location").stream()
                .filter(tile -> !shown.contains(tile.value()))
                .toList();
    }

    public List<Tile> starts() {
        return List.of(
                new Tile("now", "Just now", start.words(start.justNow())),
                new Tile("half", "About half an hour ago", start.words(start.halfAnHourAgo())),
                new Tile("typed", "At another time", "type it"));
    }

    public List<Tile> codes(String variable) {
        return Tile.of(variable);
    }

    public List<Tile> codesWithout(String variable, String code) {
        return Tile.of(variable).stream()
                .filter(tile -> !tile.value().equals(code))
                .toList();
    }

    public List<Tile> saturations() {
        return Tile.saturations();
    }

    /** Whether the kit failed; "none" has to be tapped to count. */
    public List<Tile> kit() {
        return List.of(new Tile("none", "No kit problem", ""), new Tile("some", "There was one", ""), Tile.NOT_KNOWN);
    }

    public List<Tile> kits() {
        return Tile.of("kit_issue").stream()
                .filter(tile -> !tile.value().equals("none") && !tile.value().equals(Answering.NOT_KNOWN))
                .toList();
    }

    /** The fields that the line of saturations repeats. */
    public String saturationFields() {
        return typed.attemptNumbers().stream()
                .map(Typed::attempt)
                .map(prefix -> prefix + "best " + prefix + "lowest")
                .collect(Collectors.joining(" "));
    }

    public List<Tile.Group> events() {
        return Tile.events();
    }

    /** Who held the laryngoscope; what is known of the one who fills this in stands on the tile. */
    public List<Tile> operators(int attempt) {
        List<Tile> tiles = new ArrayList<>();
        String known = Stream.of(
                        known("operator_grade", offered.actor().operatorGrade(), ""),
                        known("operator_experience", offered.actor().operatorExperience(), " before"))
                .filter(words -> !words.isEmpty())
                .collect(Collectors.joining(", "));
        if (before != null && attempt <= before.encounter().attempts().size()) {
            Answers kept = before.encounter().attempts().get(attempt - 1);
            tiles.add(new Tile(FilledIn.KEPT, "As it was recorded", FilledIn.operator(kept)));
        }
        tiles.add(new Tile("me", "I did", known));
        tiles.add(new Tile("other", "Somebody else", "I fill this in for them"));
        if (attempt == 1) {
            tiles.add(new Tile("none", "Nobody", "no blade went in, no attempt was made"));
        }
        return tiles;
    }

    private static String known(String variable, @Nullable String code, String after) {
        return code == null ? "" : InWords.label(variable, code) + after;
    }

    /** The unit's set-ups for a tube through the mouth; the one used just before comes first. */
    public List<Tile> setups(int attempt) {
        String before = attempt == 1 ? null : new AttemptForm(typed, attempt - 1).setup();
        List<Tile> tiles = new ArrayList<>();
        for (DeviceSetup setup : offered.setups()) {
            boolean other =
                    setup.answers().is("device_mode", "sga") || setup.answers().is("device_mode", "fona");
            if (other && !typed.has(Typed.attempt(attempt) + "setup", setup.id())) {
                continue;
            }
            boolean again = setup.id().equals(before);
            tiles.add(again ? 0 : tiles.size(), tile(setup, again ? "as in attempt " + (attempt - 1) : ""));
        }
        tiles.add(new Tile("other", "Another set-up", "not on this list, or not known"));
        tiles.add(new Tile("route", "Not through the mouth", "nose, throat airway, neck"));
        return tiles;
    }

    /** The unit's set-ups for the other ways. */
    public List<Tile> otherSetups() {
        List<Tile> tiles = new ArrayList<>(
                offered.setups().stream().map(setup -> tile(setup, "")).toList());
        tiles.add(new Tile("other", "Another one", "not on this list, or not known"));
        return tiles;
    }

    /** The title in the unit's own words, and where the screen is unless the title says so. */
    private static Tile tile(DeviceSetup setup, String note) {
        return new Tile(
                setup.id(),
                setup.title(),
                Stream.of(InWords.screen(setup), note)
                        .filter(words -> !words.isEmpty())
                        .collect(Collectors.joining(", ")));
    }

    /** When it is asked where the operator looked, in the words of the page's script. */
    public String lookWhen(int attempt) {
        return offered.when(Dictionary.current().variable("look_target"), Typed.attempt(attempt));
    }

    /** When earlier uses are asked: of somebody else, or of a set-up whose uses cannot be counted from records here. */
    public @Nullable String usesWhen(int attempt) {
        List<String> asked = Stream.concat(
                        offered.setups().stream()
                                .map(DeviceSetup::id)
                                .filter(id -> offered.uses()
                                        .getOrDefault(id, EarlierUses.UNTOLD)
                                        .code()
                                        .isEmpty()),
                        Stream.of("other"))
                .toList();
        if (asked.size() > offered.setups().size()) {
            return null;
        }
        String prefix = Typed.attempt(attempt);
        String codes = String.join(",", asked);
        return prefix + "who:other," + FilledIn.KEPT + ";" + prefix + "setup:" + codes + ";" + prefix + "with:" + codes;
    }

    /** More about the child and the record as a whole. */
    public List<Details.Detail> childDetails() {
        return Stream.concat(
                        Details.of(Level.PATIENT, "", typed, offered).stream(),
                        Details.of(Level.ENCOUNTER, "", typed, offered).stream())
                .toList();
    }

    /** More about the plan, asked where one begins. */
    public List<Details.Detail> courseDetails(int attempt) {
        return Details.of(Level.COURSE, Typed.attempt(attempt), typed, offered);
    }

    public List<Details.Detail> attemptDetails(int attempt) {
        return Details.of(Level.ATTEMPT, Typed.attempt(attempt), typed, offered);
    }

    public List<Details.Detail> eventDetails(String event) {
        return Details.of(Level.EVENT, Typed.event(event), typed, offered);
    }

    /** Whether something was told behind "More, if you can", so that it stays open. */
    public boolean told(List<Details.Detail> details) {
        return details.stream().anyMatch(detail -> typed.one(detail.field()) != null || fault(detail.field()) != null);
    }

    /** The lines for drugs. */
    public List<Integer> drugLines() {
        return IntStream.rangeClosed(1, Details.DRUGS).boxed().toList();
    }

    /** When the best saturation before is asked: at the first attempt, and again where another way begins. */
    public String bestWhen(int attempt) {
        if (attempt == 1) {
            return "";
        }
        String before = String.valueOf(new AttemptForm(typed, attempt - 1).approach());
        String prefix = Typed.attempt(attempt);
        return before.equals("oral")
                ? prefix + "setup:route"
                : prefix + "setup:*,!route;" + prefix + "route:*,!" + before;
    }

    public List<Tile> whens() {
        List<Tile> tiles = new ArrayList<>();
        tiles.add(new Tile("0", "Before attempt 1", ""));
        typed.attemptNumbers()
                .forEach(number -> tiles.add(new Tile(number.toString(), "In or after attempt " + number, "")));
        tiles.add(Tile.NOT_KNOWN);
        return tiles;
    }

    /** A day as one may type it. */
    public String exampleDay() {
        return DateTimeFormatter.ofPattern("d M yyyy", Locale.UK).format(start.today());
    }

    /** Whether the clocks showed the typed time twice, so that it must be said which. */
    public boolean twice() {
        return typed.one("start_turn") != null || fault("start_turn") != null;
    }

    public boolean faulty() {
        return !told.isEmpty();
    }

    /** What is wrong at a question, or null. */
    public Questions.@Nullable Told fault(String field) {
        return told.stream()
                .filter(one -> one.field().equals(field))
                .findFirst()
                .orElse(null);
    }

    /** Whether an attempt has something to mend, so that it is not folded away. */
    public boolean faultIn(int attempt) {
        return told.stream().anyMatch(one -> one.field().startsWith(Typed.attempt(attempt)));
    }

    /** What a question holds, for "Yes, 74 is right". */
    public @Nullable String value(String field) {
        return RecordForm.value(typed, field);
    }

    /** Whether to ask, or to show as answered, if an unlikely value is right. */
    public boolean confirming(String field) {
        Questions.Told fault = fault(field);
        String yes = typed.one("confirm." + field);
        return (fault != null && fault.confirm()) || (yes != null && yes.equals(value(field)));
    }

    public String heading() {
        return before == null ? "Record an intubation" : "Put a record right";
    }

    /** Where the form is sent to. */
    public String action() {
        return before == null ? "/record" : "/records/" + before.id() + "/amend";
    }

    /** Why a record is put right. */
    public List<Tile> reasons() {
        return Reason.Code.TO_AMEND.stream()
                .sorted()
                .map(code -> new Tile(code.value(), code.label(), ""))
                .toList();
    }

    /** "Three answers need another look" in figures. */
    public String count() {
        return told.size() == 1 ? "One answer needs another look" : told.size() + " answers need another look";
    }
}
