package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.UUID;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;

/**
 * The kit in the morning, without a click: whether each trolley is ready, where each item is on its round, what is to be
 * put back or ordered.
 */
@Needs(Right.USE_KIT)
@Controller
class KitPages {
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM, HH:mm", Locale.ENGLISH);
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.ENGLISH);

    /** Away longer than this is asked about; our own choice, no source. */
    private static final Duration LONG_AWAY = Duration.ofDays(2);

    /** A pack that lasts less long is told of; our own choice, no source. */
    private static final int SOON_DAYS = 30;

    /** So many cycles before the limit of its maker a new item is to be ordered; our own choice, no source. */
    private static final int CYCLES_LEFT = 5;

    private final Trolleys trolleys;
    private final Sites sites;

    KitPages(Trolleys trolleys, Sites sites) {
        this.trolleys = trolleys;
        this.sites = sites;
    }

    /** An item in a list: what it is, where it is, and what to look at. */
    public record Line(UUID id, String name, String where, String note) {}

    /**
     * A trolley in one sentence, with what speaks against it.
     *
     * @param word ready, gap, overdue, not_ready or not_checked
     */
    public record Card(UUID id, String sentence, String word, List<String> reasons, String told, List<String> notes) {}

    /** Something to fetch, to order or to do. */
    public record Errand(String what, String why) {}

    @GetMapping("/kit")
    ModelAndView morning(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        Site site = sites.named(siteId);
        Trolleys.Morning morning = trolleys.morning(site);
        List<Whereabouts> items = morning.items();
        Instant now = morning.at();
        return new ModelAndView("kit/kit")
                .addObject("unitCode", site.code())
                .addObject("at", AT.format(now.atZone(site.zone())))
                .addObject("none", items.isEmpty())
                .addObject("cards", cards(morning.trolleys()))
                .addObject("errands", errands(morning, LocalDate.ofInstant(now, site.zone())))
                .addObject("running", running(morning.lots(), LocalDate.ofInstant(now, site.zone())))
                .addObject("toLookInto", morning.toLookInto())
                .addObject("resting", trolleys.notInUse(site))
                .addObject("dirty", lines(items, in(State.Group.DIRTY), now))
                .addObject("gone", lines(items, in(State.Group.AWAY), now))
                .addObject("back", lines(items, in(State.Group.BACK), now))
                .addObject("rest", lines(items, in(State.Group.REST), now))
                .addObject("ready", lines(items, in(State.Group.READY), now));
    }

    /** What is not ready stands first. */
    private static List<Card> cards(List<Standing> standings) {
        return standings.stream()
                .sorted(Comparator.comparing(
                                (Standing standing) -> standing.word().ready())
                        .thenComparing(standing -> standing.word() == Standing.Word.OVERDUE))
                .map(KitPages::card)
                .toList();
    }

    /** A trolley in one sentence. */
    static Card card(Standing standing) {
        Trolley trolley = standing.trolley();
        StringBuilder told = new StringBuilder();
        Check last = standing.last();
        if (last != null) {
            told.append(last.found().kind().words())
                    .append(' ')
                    .append(AT.format(last.found().at().atZone(trolley.site().zone())))
                    .append(". ");
            told.append(standing.seal() == null ? "No whole seal. " : "Seal " + standing.seal() + " whole. ");
            if (standing.inDateUntil() != null) {
                told.append("In date until ")
                        .append(DAY.format(standing.inDateUntil()))
                        .append(". ");
            }
            if (last.found().battery() != null) {
                told.append("Charged ").append(last.found().battery()).append("%. ");
            }
            if (standing.due() != null && standing.word().ready()) {
                told.append("Next check by ")
                        .append(AT.format(standing.due().atZone(trolley.site().zone())))
                        .append('.');
            }
        }
        return new Card(
                trolley.id(),
                standing.sentence() + ".",
                standing.word().code(),
                standing.reasons(),
                told.toString().strip(),
                standing.notes());
    }

    private static List<Errand> errands(Trolleys.Morning morning, LocalDate today) {
        List<Errand> errands = new ArrayList<>();
        for (Standing standing : morning.trolleys()) {
            for (Standing.Restock one : standing.restock()) {
                errands.add(new Errand(
                        one.how() + " \u00d7 " + one.title(),
                        "For " + standing.trolley().place("drawer " + one.drawer()) + "."));
            }
        }
        for (Kind kind : morning.kinds()) {
            Integer least = kind.leastReady();
            long ready = kind.singleUse()
                    ? Lot.usable(morning.lots(), kind, today)
                    : morning.items().stream()
                            .filter(item -> item.kind().id().equals(kind.id()) && item.usable(today))
                            .count();
            if (least != null && ready < least) {
                errands.add(new Errand(
                        kind.title(),
                        kind.singleUse()
                                ? ready + " in date, minimum " + least + ": order it."
                                : ready + " ready, minimum " + least + ": order it, or ask for what is away."));
            }
        }
        for (Whereabouts item : morning.items()) {
            Integer limit = item.kind().cycleLimit();
            LocalDate useBy = item.useBy();
            String what = item.name() + ", " + item.kind().title();
            if (limit != null && item.state() != State.RETIRED && item.cycles() > limit - CYCLES_LEFT) {
                errands.add(new Errand(
                        what,
                        "Cycle " + item.cycles() + " of " + limit + " that its maker allows: order another one."));
            }
            if (item.state().group() == State.Group.READY
                    && useBy != null
                    && !useBy.isBefore(today)
                    && useBy.isBefore(today.plusDays(SOON_DAYS + 1L))) {
                errands.add(new Errand(what, "Use by " + DAY.format(useBy) + ": process it again in time."));
            }
        }
        return errands;
    }

    /** Lots to be seen to, what matters most first. */
    private static List<Line> running(List<Lot> lots, LocalDate today) {
        return lots.stream()
                .filter(lot -> lot.alert(today) != Lot.Alert.NONE)
                .sorted(Comparator.comparing((Lot lot) -> lot.alert(today)).reversed())
                .map(lot -> new Line(lot.id(), lot.words(), LotPages.left(lot) + ".", LotPages.alert(lot, today)))
                .toList();
    }

    private static Predicate<Whereabouts> in(State.Group group) {
        return item -> item.state().group() == group;
    }

    /** Who waits longest stands first. */
    private static List<Line> lines(List<Whereabouts> items, Predicate<Whereabouts> which, Instant now) {
        return items.stream()
                .filter(which)
                .sorted(Comparator.comparing(Whereabouts::since))
                .map(item -> line(item, now))
                .toList();
    }

    private static Line line(Whereabouts item, Instant now) {
        Site site = item.kind().site();
        LocalDate useBy = item.useBy();
        String note = "";
        if (in(State.Group.AWAY).test(item) && item.since().plus(LONG_AWAY).isBefore(now)) {
            note = "Away longer than 48 hours: ask.";
        } else if (in(State.Group.READY).test(item)) {
            note = useBy == null
                    ? (item.kind().wiped() ? "" : "Use-by day not told: not to be used.")
                    : "Use by " + useBy
                            + (useBy.isBefore(LocalDate.ofInstant(now, site.zone())) ? ": over, not to be used." : ".");
        } else if (item.proposed() != null) {
            note = "Waits for a second person.";
        }
        return new Line(
                item.id(),
                item.name() + ", " + item.kind().title(),
                item.state().words() + " since " + AT.format(item.since().atZone(site.zone())) + "; "
                        + (item.label() == null ? "" : "label " + item.label() + "; ")
                        + (item.place() == null
                                ? "place not told"
                                : item.state() == State.MISSING ? "last told: " + item.place() : item.place())
                        + ".",
                note);
    }
}
