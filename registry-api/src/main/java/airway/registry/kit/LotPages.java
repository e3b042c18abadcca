package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.UUID;
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
import org.springframework.web.util.UriComponentsBuilder;

/** Single-use stock: what is left of each kind and lot, what came, and the log of a lot. */
@Needs(Right.KEEP_KIT)
@Controller
class LotPages {
    private static final List<String> CAME = List.of("label", "kind", "gtin", "lot", "use_by", "number");
    private static final List<String> MOVED = List.of("move", "seen", "number", "reason");
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.ENGLISH);

    private final Lots lots;
    private final Sites sites;

    LotPages(Lots lots, Sites sites) {
        this.lots = lots;
        this.sites = sites;
    }

    /** A kind with its lots. */
    public record Group(String title, String words, boolean low, List<Line> lots) {}

    /** A lot in the list. */
    public record Line(UUID id, String lot, String words, String alert) {}

    /** A line of the log of a lot. */
    public record Entry(String what, String at, String record, String reason) {}

    @Needs(Right.USE_KIT)
    @GetMapping("/kit/stock")
    ModelAndView list(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return list(sites.named(siteId), Map.of(), Map.of(), HttpStatus.OK);
    }

    private ModelAndView list(Site site, Map<String, String> typed, Map<String, String> told, HttpStatus status) {
        Lots.Stock stock = lots.stock(site);
        return new ModelAndView("kit/stock", status)
                .addObject("unitCode", site.code())
                .addObject("groups", groups(stock))
                .addObject("kinds", stock.kinds().stream().map(Kind::title).toList())
                .addObject("typed", typed)
                .addObject("told", told);
    }

    private static List<Group> groups(Lots.Stock stock) {
        List<Group> groups = new ArrayList<>();
        for (Kind kind : stock.kinds()) {
            List<Lot> lots =
                    stock.lots().stream().filter(lot -> lot.kind().equals(kind)).toList();
            int usable = Lot.usable(stock.lots(), kind, stock.today());
            Integer least = kind.leastReady();
            groups.add(new Group(
                    kind.title(),
                    usable + " in date" + (least == null ? "" : ", minimum " + least),
                    least != null && usable < least,
                    lots.stream().map(lot -> line(lot, stock.today())).toList()));
        }
        return groups;
    }

    private static Line line(Lot lot, LocalDate today) {
        return new Line(lot.id(), lot.lot(), left(lot), alert(lot, today));
    }

    /** How many are left, and until when they may be used. */
    static String left(Lot lot) {
        return lot.left() + " left; " + (lot.useBy() == null ? "no use-by day" : "use by " + DAY.format(lot.useBy()));
    }

    /** What is to be seen to, in a sentence; empty where nothing is. */
    static String alert(Lot lot, LocalDate today) {
        return switch (lot.alert(today)) {
            case NONE -> "";
            case SOON -> "Runs out within " + Lot.SOON_DAYS + " days.";
            case VERY_SOON -> "Runs out within " + Lot.VERY_SOON_DAYS + " days.";
            case EXPIRED -> "The use-by day is over: not to be used, take it away.";
            case BELOW_ZERO -> "Records used more than came: count it.";
        };
    }

    @PostMapping(path = "/kit/stock", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView receive(@RequestParam MultiValueMap<String, String> sent) {
        Map<String, String> typed = sent.toSingleValueMap();
        Site site = sites.named(sent.getFirst("site_id"));
        try {
            lots.receive(ItemPages.body(typed, CAME, List.of("number")).put("site_id", site.code()));
        } catch (Problem.Invalid e) {
            return list(site, typed, ItemPages.told(e, ""), ItemPages.status(e));
        }
        return ItemPages.seeOther(UriComponentsBuilder.fromPath("/kit/stock")
                .queryParam("site_id", site.code())
                .encode()
                .build()
                .toUriString());
    }

    @Needs(Right.USE_KIT)
    @GetMapping("/kit/stock/{id}")
    ModelAndView lot(@PathVariable String id) {
        return lot(lots.lot(Key.of(id, "lot")), Map.of(), Map.of(), "", HttpStatus.OK);
    }

    private static ModelAndView lot(
            Lots.Whole whole, Map<String, String> typed, Map<String, String> told, String stale, HttpStatus status) {
        Lot lot = whole.lot();
        ZoneId zone = lot.kind().site().zone();
        return new ModelAndView("kit/lot", status)
                .addObject("unitCode", lot.kind().site().code())
                .addObject("id", lot.id())
                .addObject("title", lot.words())
                .addObject("now", left(lot) + (lot.gtin() == null ? "" : "; GTIN " + lot.gtin()) + ".")
                .addObject("seen", lot.version())
                .addObject(
                        "log",
                        whole.log().stream().map(line -> entry(line, zone)).toList())
                .addObject("typed", typed)
                .addObject("told", told)
                .addObject("stale", stale);
    }

    private static Entry entry(Lot.Line line, ZoneId zone) {
        String change = line.change() > 0 ? "+" + line.change() : String.valueOf(line.change());
        return new Entry(
                line.move().words() + " (" + change.replace('-', '\u2212') + "): " + line.left() + " left",
                AT.format(line.at().atZone(zone)),
                line.record() == null
                        ? ""
                        : "Record " + line.record().toString().substring(0, 8) + ", attempt " + line.attempt(),
                line.reason() == null ? "" : line.reason());
    }

    @PostMapping(path = "/kit/stock/{id}", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView move(@PathVariable String id, @RequestParam MultiValueMap<String, String> sent) {
        UUID key = Key.of(id, "lot");
        Map<String, String> typed = sent.toSingleValueMap();
        try {
            lots.move(key, ItemPages.body(typed, MOVED, List.of("seen", "number")));
            return ItemPages.seeOther("/kit/stock/" + key);
        } catch (Problem.Stale e) {
            return lot(
                    lots.lot(key),
                    typed,
                    Map.of(),
                    "Somebody else wrote into its log meanwhile. Look at it, and send yours once more.",
                    HttpStatus.CONFLICT);
        } catch (Problem.Invalid e) {
            return lot(
                    lots.lot(key),
                    typed,
                    ItemPages.told(e, typed.getOrDefault("move", "") + "-"),
                    "",
                    ItemPages.status(e));
        }
    }
}
