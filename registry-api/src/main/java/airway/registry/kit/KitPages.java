package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;

/** The kit in the morning: what is short, what is dirty and where, what is away and since when. */
@Needs(Right.USE_KIT)
@Controller
class KitPages {
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM, HH:mm", Locale.ENGLISH);

    /** Away longer than this is asked about; our own choice, no source. */
    private static final Duration LONG_AWAY = Duration.ofDays(2);

    private final Kit kit;
    private final Sites sites;
    private final Clock clock;

    KitPages(Kit kit, Sites sites, Clock clock) {
        this.kit = kit;
        this.sites = sites;
        this.clock = clock;
    }

    /** An item in a list: what it is, where it is, and what to look at. */
    public record Line(String name, String where, String note) {}

    /** A kind and how many of it may be used now. */
    public record Stock(String title, String ready, boolean shortOf) {}

    @GetMapping("/kit")
    ModelAndView morning(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        Site site = sites.named(siteId);
        List<Traced> items = kit.items(site);
        Instant now = clock.instant();
        LocalDate today = LocalDate.ofInstant(now, site.zone());
        return new ModelAndView("kit/kit")
                .addObject("unitCode", site.code())
                .addObject("at", AT.format(now.atZone(site.zone())))
                .addObject("none", items.isEmpty())
                .addObject("stocks", stocks(kit.kinds(site), items, today))
                .addObject("dirty", lines(items, in(State.Group.DIRTY), now))
                .addObject("gone", lines(items, in(State.Group.AWAY), now))
                .addObject("back", lines(items, in(State.Group.BACK), now))
                .addObject("rest", lines(items, in(State.Group.REST), now))
                .addObject("ready", lines(items, in(State.Group.READY), now));
    }

    private static Predicate<Traced> in(State.Group group) {
        return item -> item.life().state().group() == group;
    }

    /** What is past its use-by day is not ready, wherever it lies; no day at all is not ready either. */
    private static boolean usable(Traced item, LocalDate today) {
        LocalDate useBy = item.life().useBy();
        return in(State.Group.READY).test(item) && useBy != null && !useBy.isBefore(today);
    }

    private static List<Stock> stocks(List<Kind> kinds, List<Traced> items, LocalDate today) {
        List<Stock> stocks = new ArrayList<>();
        for (Kind kind : kinds) {
            long ready = items.stream()
                    .filter(item -> item.kind().id().equals(kind.id()) && usable(item, today))
                    .count();
            Integer least = kind.leastReady();
            boolean shortOf = least != null && ready < least;
            stocks.add(
                    shortOf ? 0 : stocks.size(),
                    new Stock(
                            kind.title(),
                            ready + " ready" + (least == null ? ", no minimum set" : ", minimum " + least),
                            shortOf));
        }
        return stocks;
    }

    /** Who waits longest stands first. */
    private static List<Line> lines(List<Traced> items, Predicate<Traced> which, Instant now) {
        return items.stream()
                .filter(which)
                .sorted((one, other) ->
                        one.life().since().compareTo(other.life().since()))
                .map(item -> line(item, now))
                .toList();
    }

    private static Line line(Traced item, Instant now) {
        Life life = item.life();
        boolean away = in(State.Group.AWAY).test(item);
        LocalDate useBy = life.useBy();
        String note = away && life.since().plus(LONG_AWAY).isBefore(now)
                ? "Away longer than 48 hours: ask."
                : in(State.Group.READY).test(item) && useBy != null
                        ? "Use by " + useBy
                                + (useBy.isBefore(LocalDate.ofInstant(
                                                now, item.kind().site().zone()))
                                        ? ": over, not to be used."
                                        : ".")
                        : life.proposal() == null ? "" : "Waits for a second person.";
        return new Line(
                item.item().name() + ", " + item.kind().title(),
                life.state().words() + " since "
                        + AT.format(life.since().atZone(item.kind().site().zone())) + "; "
                        + (life.label() == null ? "" : "label " + life.label() + "; ")
                        + (life.place() == null
                                ? "place not told"
                                : life.state() == State.MISSING ? "last told: " + life.place() : life.place())
                        + ".",
                note);
    }
}
