package airway.registry.web;

import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Problem;
import jakarta.servlet.http.HttpServletRequest;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;

/** What stands around every page: whose unit it is, where one can go, and whether the data are invented. */
/*
 * Templates ask this bean themselves, so that a page of a problem has the same frame as the page that was asked for.
 * The units seen last are kept for the one case in which they cannot be read: the database is away.
 */
@Component("frame")
@ConditionalOnWebApplication
public class Frame {
    /** A page one can go to. */
    public record Item(String key, String path, String label) {}

    /**
     * The frame of one page.
     *
     * @param unit the unit the page is about, or null when there is none or none can be read
     * @param units all units one may choose from, the home unit first
     */
    public record Shown(@Nullable Site unit, List<Site> units) {
        public List<Item> items() {
            return ITEMS;
        }

        public String title() {
            return unit == null ? "Airway register" : unit.title();
        }

        public boolean invented() {
            return unit != null && unit.invented();
        }

        /** A path on this site, for the same unit. */
        public String to(String path) {
            return unit == null || unit.equals(units.get(0))
                    ? path
                    : path + "?site_id=" + URLEncoder.encode(unit.code(), StandardCharsets.UTF_8);
        }

        /** Where choosing another unit leads to: the same page, or the front page from where there is no such page. */
        public String chooserOf(String key) {
            return Stream.concat(ITEMS.stream(), BESIDE.stream())
                    .filter(item -> item.key().equals(key))
                    .map(Item::path)
                    .findFirst()
                    .orElse("/");
        }
    }

    private static final List<Item> ITEMS = List.of(
            new Item("record", "/record", "Record"),
            new Item("records", "/records", "Records"),
            new Item("charts", "/charts", "Charts"),
            new Item("compare", "/compare", "Compare set-ups"),
            new Item("quality", "/quality", "Data quality"),
            new Item("import", "/import", "Import"));

    /** Pages of a unit that other pages lead to. */
    private static final List<Item> BESIDE = List.of(
            new Item("changes", "/changes", "What was changed and when"),
            new Item("reviews", "/reviews", "Case reviews"),
            new Item("aim", "/aim", "The aim"),
            new Item("audit", "/audit", "Audit"));

    private final Sites sites;
    private final HttpServletRequest request;
    private volatile List<Site> seenLast = List.of();

    Frame(Sites sites, HttpServletRequest request) {
        this.sites = sites;
        this.request = request;
    }

    /**
     * The frame for the request that is being answered.
     *
     * @param code the unit that the page is about, where the address does not say it (model attribute unitCode); else
     *     null: then the unit in the address counts, and the home unit where there is none of that code
     * @param away whether the page knows that the database is away (model attribute): it is not waited for again
     */
    public Shown of(@Nullable String code, @Nullable Boolean away) {
        if (!Boolean.TRUE.equals(away)) {
            try {
                seenLast = sites.all();
            } catch (Problem.Unavailable e) {
                // The page says so itself, in its own words.
            }
        }
        List<Site> units = seenLast;
        String asked = code == null ? asked() : code;
        Site unit = units.stream()
                .filter(site -> site.code().equals(asked))
                .findFirst()
                .orElse(units.isEmpty() ? null : units.get(0));
        return new Shown(unit, units);
    }

    /** The unit in the address; none where the form that came with it cannot be read. */
    private @Nullable String asked() {
        try {
            return request.getParameter("site_id");
        } catch (IllegalStateException e) {
            return null;
        }
    }
}
