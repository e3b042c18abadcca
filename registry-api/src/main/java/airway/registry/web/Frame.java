package airway.registry.web;

import airway.registry.access.Person;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.database.Acting;
import airway.registry.problem.Problem;
import jakarta.servlet.http.HttpServletRequest;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.stereotype.Component;

/** What stands around every page: whose unit it is, where one can go, and whether the data are invented. */
/*
 * Templates ask this bean themselves, so that a page of a problem has the same frame as the page that was asked for.
 */
@Component("frame")
@ConditionalOnWebApplication
public class Frame {
    /** A page one can go to, and the right that opens it. */
    public record Item(String key, String path, String label, Right right) {}

    /**
     * The frame of one page.
     *
     * @param unit the unit the page is about, or null when there is none or none can be read
     * @param units all units one may choose from, the home unit first
     * @param person who is signed in, or null
     */
    public record Shown(
            @Nullable Site unit, List<Site> units, @Nullable Person person) {
        /** Where the one who is signed in may go. */
        public List<Item> items() {
            return ITEMS.stream().filter(item -> may(item.right())).toList();
        }

        /** Whether the one who is signed in has this right, in one unit at least. */
        public boolean may(Right right) {
            return person != null && person.may(right);
        }

        /** The same by the name of the right. */
        public boolean may(String right) {
            return may(Right.valueOf(right));
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

        /** Whether the page is about one unit; administration and one's own account are not. */
        public boolean ofAUnit(String key) {
            return !BESIDE_UNITS.contains(key);
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
            new Item("record", "/record", "Record", Right.RECORD),
            new Item("records", "/records", "Records", Right.READ_RECORDS),
            new Item("charts", "/charts", "Charts", Right.READ_CHARTS),
            new Item("compare", "/compare", "Compare set-ups", Right.READ_CHARTS),
            new Item("learning", "/learning", "Learning", Right.READ_CHARTS),
            new Item("reports", "/reports", "Reports", Right.READ_CHARTS),
            new Item("quality", "/quality", "Data quality", Right.IMPROVE),
            new Item("research", "/research", "Research data", Right.ASK_RESEARCH),
            new Item("requests", "/research/requests", "Research requests", Right.JUDGE_RESEARCH),
            new Item("import", "/import", "Import", Right.IMPORT),
            new Item("kit", "/kit", "Kit", Right.USE_KIT),
            new Item("lookback", "/kit/look-back", "Look back", Right.SEE_TOUCHED),
            new Item("setups", "/setups", "Set-ups", Right.KEEP_SETUPS),
            new Item("people", "/people", "People", Right.ADMINISTER),
            new Item("units", "/units", "Units", Right.ADMINISTER),
            new Item("tokens", "/tokens", "Tokens", Right.ADMINISTER),
            new Item("keys", "/keys", "Keys", Right.ADMINISTER),
            new Item("audit", "/audit", "Audit", Right.READ_AUDIT),
            new Item("settings", "/settings", "Settings", Right.ADMINISTER));

    private static final Set<String> BESIDE_UNITS =
            Set.of("sign-in", "me", "people", "units", "tokens", "settings", "audit", "keys", "scanner");

    /** Pages of a unit that other pages lead to. */
    private static final List<Item> BESIDE = List.of(
            new Item("changes", "/changes", "What was changed and when", Right.IMPROVE),
            new Item("reviews", "/reviews", "Case reviews", Right.IMPROVE),
            new Item("aim", "/aim", "The aim", Right.IMPROVE),
            new Item("tables", "/tables", "Counts for others", Right.TELL_COUNTS),
            new Item("items", "/kit/items", "Items of the kit", Right.USE_KIT),
            new Item("discrepancies", "/kit/discrepancies", "To look into", Right.KEEP_KIT),
            new Item("sending", "/kit/sending", "Send for decontamination", Right.KEEP_KIT),
            new Item("kinds", "/kit/kinds", "Kinds of items", Right.KEEP_KIT),
            new Item("stock", "/kit/stock", "Single-use stock", Right.USE_KIT),
            new Item("kitmeasures", "/kit/measures", "Measures of the kit", Right.USE_KIT),
            new Item("scanner", "/kit/scanner", "Try a scanner", Right.READ_SETUPS),
            new Item("child", "/child", "Records of one child", Right.SEE_IDENTITY),
            new Item("erase", "/child/erase", "Erase a hospital number", Right.ERASE_IDENTITY));

    private final Sites sites;
    private final HttpServletRequest request;
    private final Doorkeeper doorkeeper;

    Frame(Sites sites, HttpServletRequest request, Doorkeeper doorkeeper) {
        this.sites = sites;
        this.doorkeeper = doorkeeper;
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
        Person person =
                Boolean.TRUE.equals(away) ? null : doorkeeper.of(request).orElse(null);
        List<Site> units = person == null ? List.of() : units(person);
        String asked = code == null ? asked() : code;
        Site unit = units.stream()
                .filter(site -> site.code().equals(asked))
                .findFirst()
                .orElse(units.isEmpty() ? null : units.get(0));
        return new Shown(unit, units, person);
    }

    /** The units of the person; none when the database is away: the page says so in its own words. */
    private List<Site> units(Person person) {
        try {
            return Acting.as(person.scope(), sites::all);
        } catch (Problem.Unavailable e) {
            return List.of();
        }
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
