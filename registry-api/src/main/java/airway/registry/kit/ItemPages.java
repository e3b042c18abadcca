package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Role;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** The items of a unit, and one item: scan its label, say where it is, save. */
@Needs(Right.USE_KIT)
@Controller
class ItemPages {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.ENGLISH);
    private static final int LONGEST_SCAN = 200;
    private static final List<String> OF_AN_ITEM =
            List.of("kind", "name", "gtin", "serial", "giai", "cycles_before", "place");
    private static final List<String> WHOLE = List.of("seen", "cycles_before");

    /** Away longer than this is asked about; our own choice, no source. */
    private static final Duration LONG_AWAY = Duration.ofDays(2);

    private final Kit kit;
    private final Items items;
    private final Sites sites;
    private final Clock clock;

    ItemPages(Kit kit, Items items, Sites sites, Clock clock) {
        this.kit = kit;
        this.items = items;
        this.sites = sites;
        this.clock = clock;
    }

    /** An item in the list. */
    public record Line(UUID id, String name, String where, String more) {}

    /** A fact about the item. */
    public record Fact(String title, String words) {}

    /** A move in the log. */
    public record Entry(String what, String at, List<String> told, String by, String late, boolean takenBack) {}

    @GetMapping("/kit/items")
    ModelAndView list(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return list(sites.named(siteId), "", Map.of(), HttpStatus.OK);
    }

    private ModelAndView list(Site site, String label, Map<String, String> told, HttpStatus status) {
        List<Traced> all = kit.items(site);
        return new ModelAndView("kit/items", status)
                .addObject("unitCode", site.code())
                .addObject("lines", all.stream().map(ItemPages::line).toList())
                .addObject("label", label)
                .addObject("told", told);
    }

    private static Line line(Traced item) {
        Life life = item.life();
        String place = life.place();
        return new Line(
                item.item().id(),
                item.item().name() + ", " + item.kind().title(),
                life.state().words() + (place == null ? "" : ": " + place) + ", since "
                        + AT.format(life.since().atZone(item.kind().site().zone())),
                cycles(item) + "; " + uses(item)
                        + (life.useBy() == null ? "" : "; use by " + DAY.format(life.useBy())));
    }

    /** Sent as a form so that what was scanned stands in no address. */
    @PostMapping(path = "/kit/find", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView find(@RequestParam MultiValueMap<String, String> typed) {
        Site site = sites.named(typed.getFirst("site_id"));
        String scanned = Optional.ofNullable(typed.getFirst("label")).orElse("").strip();
        String label = scanned.substring(0, Math.min(scanned.length(), LONGEST_SCAN));
        if (label.isEmpty()) {
            return list(
                    site,
                    label,
                    Map.of("label", "Scan the label, or type the number on it."),
                    HttpStatus.UNPROCESSABLE_CONTENT);
        }
        Optional<UUID> found = items.find(site, label.replace('\u241d', Scan.SEPARATOR));
        return found.map(id -> seeOther("/kit/items/" + id))
                .orElseGet(() -> list(
                        site,
                        label,
                        Map.of(
                                "label",
                                "No item of this unit has this label. Look at it again, leading zeros count; a new item is"
                                        + " entered first."),
                        HttpStatus.NOT_FOUND));
    }

    @Needs(Right.KEEP_KIT)
    @GetMapping("/kit/items/new")
    ModelAndView blank(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return enter(sites.named(siteId), Map.of(), Map.of(), HttpStatus.OK);
    }

    private ModelAndView enter(Site site, Map<String, String> typed, Map<String, String> told, HttpStatus status) {
        return new ModelAndView("kit/enter", status)
                .addObject("unitCode", site.code())
                .addObject("kinds", kit.kinds(site))
                .addObject("typed", typed)
                .addObject("told", told);
    }

    @Needs(Right.KEEP_KIT)
    @PostMapping(path = "/kit/items", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView add(@RequestParam MultiValueMap<String, String> typed) {
        Site site = sites.named(typed.getFirst("site_id"));
        try {
            Traced made = kit.addItem(
                    body(typed.toSingleValueMap(), OF_AN_ITEM, WHOLE).put("site_id", site.code()));
            return seeOther("/kit/items/" + made.item().id());
        } catch (Problem.Invalid | Problem.Conflict e) {
            return enter(site, typed.toSingleValueMap(), told(e, ""), status(e));
        }
    }

    @GetMapping("/kit/items/{id}")
    ModelAndView item(@PathVariable String id) {
        return page(items.shown(Key.of(id, "item")), Map.of(), Map.of(), "", HttpStatus.OK);
    }

    @PostMapping(path = "/kit/items/{id}/moves", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView move(@PathVariable String id, @RequestParam MultiValueMap<String, String> sent) {
        UUID item = Key.of(id, "item");
        Map<String, String> typed = new LinkedHashMap<>(sent.toSingleValueMap());
        Map<String, String> told = withOthers(typed);
        List<String> names = Stream.concat(Stream.of("move", "seen", "at"), MoveForm.TOLD.stream())
                .toList();
        try {
            kit.move(item, body(told, names, WHOLE));
            return seeOther("/kit/items/" + item);
        } catch (Problem.ItemMoved | Problem.NoSuchMove e) {
            return again(item, typed, told, e);
        } catch (Problem.NotAllowed e) {
            return page(items.shown(item), typed, Map.of(), e.detail(), HttpStatus.FORBIDDEN);
        } catch (Problem.Invalid e) {
            return page(items.shown(item), typed, told(e, typed.getOrDefault("move", "") + "-"), "", status(e));
        }
    }

    /** Somebody else was faster, or it cannot go there: where it is now stands on the page, and what was typed. */
    private ModelAndView again(UUID item, Map<String, String> typed, Map<String, String> told, Problem problem) {
        Items.Shown shown = items.shown(item);
        boolean offered = Offer.of(shown, clock.instant()).stream()
                .anyMatch(offer -> offer.code().equals(typed.get("move")));
        String kept = offered
                ? " What you typed still stands below."
                : MoveForm.TOLD.stream()
                        .filter(name -> !told.getOrDefault(name, "").isBlank())
                        .map(name -> name.replace('_', ' ') + " " + told.get(name))
                        .collect(Collectors.collectingAndThen(
                                Collectors.joining("; "), all -> all.isEmpty() ? "" : " You had typed: " + all + "."));
        return page(shown, typed, Map.of(), problem.detail() + kept, HttpStatus.CONFLICT);
    }

    private ModelAndView page(
            Items.Shown shown, Map<String, String> typed, Map<String, String> told, String clash, HttpStatus status) {
        Traced traced = shown.traced();
        Move proposal = traced.life().proposal();
        return new ModelAndView("kit/item", status)
                .addObject("unitCode", traced.kind().site().code())
                .addObject("id", traced.item().id())
                .addObject("name", traced.item().name())
                .addObject("kind", traced.kind().title())
                .addObject("state", state(traced))
                .addObject("facts", facts(traced, clock.instant()))
                .addObject("waits", proposal == null || proposal.proposes() == null ? "" : waits(shown, proposal))
                .addObject("offers", Offer.of(shown, clock.instant()))
                .addObject("log", log(shown))
                .addObject("remark", Offer.REMARK)
                .addObject("seen", traced.life().version())
                .addObject("typed", typed)
                .addObject("told", told)
                .addObject("clash", clash);
    }

    private static String state(Traced traced) {
        Life life = traced.life();
        return life.state().words() + (life.place() == null ? "" : ": " + life.place());
    }

    private static String waits(Items.Shown shown, Move proposal) {
        return "Proposed: " + Offer.title(shown.traced().life().state(), proposedBy(proposal))
                + ". It waits for a second person"
                + (proposal.by() == shown.me() ? "; you proposed it yourself." : ".");
    }

    private static State proposedBy(Move proposal) {
        State proposes = proposal.proposes();
        return proposes == null ? proposal.to() : proposes;
    }

    private static String cycles(Traced traced) {
        Integer limit = traced.kind().cycleLimit();
        int cycles = traced.cycles();
        return (cycles == 1 ? "1 cycle" : cycles + " cycles") + (limit == null ? "" : " of " + limit);
    }

    private static String uses(Traced traced) {
        int uses = traced.uses();
        return uses == 1 ? "named by 1 record" : "named by " + uses + " records";
    }

    private static List<Fact> facts(Traced traced, Instant now) {
        Life life = traced.life();
        ZoneId zone = traced.kind().site().zone();
        List<Fact> facts = new ArrayList<>();
        facts.add(new Fact(
                "Where",
                life.place() == null
                        ? "Not told"
                        : life.state() == State.MISSING ? "Last told: " + life.place() : life.place()));
        facts.add(new Fact("Since", AT.format(life.since().atZone(zone))));
        if (life.label() != null) {
            facts.add(new Fact("Away under label", life.label()));
        }
        if (life.state().group() == State.Group.AWAY) {
            Instant due = life.since().plus(LONG_AWAY);
            facts.add(new Fact(
                    "Due back",
                    AT.format(due.atZone(zone))
                            + (due.isBefore(now) ? ": over, ask where it is" : ", 48 hours after it went")));
        }
        boolean over = life.useBy() != null && life.useBy().isBefore(LocalDate.ofInstant(now, zone));
        facts.add(new Fact(
                "Use by",
                life.useBy() == null
                        ? "No day told"
                        : DAY.format(life.useBy()) + (over ? ": over, not to be used" : "")));
        facts.add(new Fact(
                "Processed since it was last opened or used",
                life.clean() ? "Yes, by a cycle that passed" : "No: it counts as dirty"));
        facts.add(new Fact(
                "Cycles",
                cycles(traced)
                        + (traced.kind().cycleLimit() == null ? "; no limit entered" : " that its maker allows")));
        facts.add(new Fact("Uses", uses(traced)));
        facts.add(new Fact(
                "Maker's instructions",
                traced.kind().instructions() == null
                        ? "Not entered: it cannot be released"
                        : String.valueOf(traced.kind().instructions())));
        mark(traced.item()).ifPresent(mark -> facts.add(new Fact("Its mark", mark)));
        return facts;
    }

    private static Optional<String> mark(Item item) {
        List<String> parts = new ArrayList<>();
        if (item.gtin() != null) {
            parts.add("GTIN " + item.gtin() + ", serial number " + item.serial());
        }
        if (item.giai() != null) {
            parts.add("asset number " + item.giai());
        }
        return parts.isEmpty() ? Optional.empty() : Optional.of(String.join("; ", parts));
    }

    private static List<Entry> log(Items.Shown shown) {
        List<Entry> entries = new ArrayList<>();
        List<Move> log = shown.traced().log();
        ZoneId zone = shown.traced().kind().site().zone();
        for (int i = 0; i < log.size(); i++) {
            Move move = log.get(i);
            boolean takenBack = i + 1 < log.size() && log.get(i + 1).done().equals(Move.UNDO);
            ItemQuery.Mover mover = shown.movers().get(move.version());
            entries.add(
                    0,
                    new Entry(
                            what(move),
                            AT.format(move.told().at().atZone(zone)),
                            told(move, zone),
                            mover == null ? "" : who(mover),
                            move.late()
                                    ? "Entered late: "
                                            + AT.format(move.enteredAt().atZone(zone))
                                    : "",
                            takenBack));
        }
        return entries;
    }

    private static String who(ItemQuery.Mover mover) {
        return mover.title()
                + (mover.roles().isEmpty()
                        ? ""
                        : " ("
                                + mover.roles().stream()
                                        .map(Role::title)
                                        .collect(Collectors.joining(", "))
                                        .toLowerCase(Locale.ENGLISH)
                                + ")");
    }

    private static String what(Move move) {
        return switch (move.done()) {
            case Move.UNDO -> "Last move taken back: " + move.to().words();
            case Move.PROPOSED -> "Proposed: " + proposedBy(move).words();
            case Move.CONFIRMED -> "Confirmed by a second person: " + move.to().words();
            case Move.NAMED -> "Named by a record: " + move.to().words();
            case Move.UNNAMED -> "No longer named by the record";
            case Move.WIPED -> "Wiped: " + move.to().words();
            default -> move.version() == 1 ? "Entered" : move.to().words();
        };
    }

    private static List<String> told(Move move, ZoneId zone) {
        Told told = move.told();
        List<String> words = new ArrayList<>();
        add(words, "", told.place());
        add(words, "Label ", told.label());
        add(words, "To ", told.destination());
        add(words, "Cycle ", told.cycle());
        add(
                words,
                "Ended ",
                told.cycleEndedAt() == null
                        ? null
                        : AT.format(told.cycleEndedAt().atZone(zone)));
        add(words, "", told.cyclePassed() == null ? null : told.cyclePassed() ? "Passed" : "Failed");
        add(words, "Use by ", told.useBy() == null ? null : DAY.format(told.useBy()));
        add(words, "", Boolean.TRUE.equals(told.packWhole()) ? "Pack seen whole" : null);
        add(words, "", Boolean.TRUE.equals(told.checked()) ? "Inspection and check passed" : null);
        add(
                words,
                "Record ",
                told.encounter() == null
                        ? null
                        : told.encounter().toString().substring(0, 8) + ", attempt " + told.attempt());
        add(words, "", told.reason());
        return words;
    }

    private static void add(List<String> words, String before, @Nullable String told) {
        if (told != null) {
            words.add(before + told);
        }
    }

    /** A place that was written goes before one that was tapped. */
    static Map<String, String> withOthers(Map<String, String> typed) {
        Map<String, String> chosen = new LinkedHashMap<>(typed);
        for (String place : List.of("place", "destination")) {
            String other = typed.getOrDefault(place + "_other", "");
            if (!other.isBlank()) {
                chosen.put(place, other);
            }
        }
        return chosen;
    }

    /** What was typed, as the API takes it; fields left empty are left out. */
    static ObjectNode body(Map<String, String> typed, List<String> names, List<String> whole) {
        ObjectNode body = JSON.createObjectNode();
        for (String name : names) {
            String value = typed.getOrDefault(name, "").strip();
            if (whole.contains(name) && value.matches("\\d{1,9}")) {
                body.put(name, Integer.parseInt(value));
            } else if (!value.isEmpty()) {
                body.put(name, value);
            }
        }
        return body;
    }

    /** What is to be mended, by the field of the page. */
    static Map<String, String> told(Problem problem, String prefix) {
        Map<String, String> told = new LinkedHashMap<>();
        for (Fault fault : problem.faults()) {
            String field = fault.path().substring(fault.path().lastIndexOf('/') + 1);
            told.put(
                    prefix + field,
                    problem instanceof Problem.Conflict ? problem.detail() + " " + fault.mend() : fault.mend());
        }
        return told;
    }

    static HttpStatus status(Problem problem) {
        return problem instanceof Problem.Conflict ? HttpStatus.CONFLICT : HttpStatus.UNPROCESSABLE_CONTENT;
    }

    static ModelAndView seeOther(String address) {
        RedirectView done = new RedirectView(address);
        done.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(done);
    }
}
