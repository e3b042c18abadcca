package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Fault;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.UUID;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
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
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** A trolley as pages: how it stands, its checks, what should lie in it. */
@Needs(Right.USE_KIT)
@Controller
class TrolleyPages {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);
    private static final DateTimeFormatter TYPED = DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);
    private static final Pattern NUMBER = Pattern.compile("-?\\d{1,9}");
    private static final Pattern IN_LIST = Pattern.compile("/(?:slots|lines)/(\\d+)/(\\w+)");
    private static final int EMPTY_ROWS = 6;

    /** What is asked at a check besides the drawers. */
    private static final List<String> TEXTS = List.of(
            "kind",
            "at",
            "seal_found",
            "seal_read",
            "seal_applied",
            "light",
            "memory_free",
            "recordings",
            "note",
            "reason");

    private static final List<String> LAYOUT = List.of("title", "in_use", "due_at", "light", "recorder");
    private static final List<String> LAYOUT_NUMBERS = List.of("check_days", "full_days", "battery_least");

    private final Trolleys trolleys;
    private final Sites sites;

    TrolleyPages(Trolleys trolleys, Sites sites) {
        this.trolleys = trolleys;
        this.sites = sites;
    }

    /** A slot in a form: its number from 1, what should lie there, and what was found before. */
    public record Asked(int no, String drawer, boolean first, String title, String should, boolean dated) {}

    /** A line of the log. */
    public record Shown(int version, String what, String told, List<String> found, String note, boolean counts) {}

    @GetMapping("/kit/trolleys/{id}")
    ModelAndView trolley(@PathVariable String id) {
        return trolley(Key.of(id, "trolley"), HttpStatus.OK);
    }

    private ModelAndView trolley(UUID id, HttpStatus status) {
        Trolleys.Whole whole = trolleys.trolley(id);
        Standing standing = whole.standing();
        Trolley trolley = standing.trolley();
        List<Shown> log = new ArrayList<>();
        whole.log().forEach(check -> log.add(shown(check, whole, trolley)));
        return new ModelAndView("kit/trolley", status)
                .addObject("unitCode", trolley.site().code())
                .addObject("id", id)
                .addObject("trolley", KitPages.card(standing))
                .addObject("title", trolley.title())
                .addObject("inUse", trolley.inUse())
                .addObject("shortCheck", standing.shortCheck())
                .addObject("log", log)
                .addObject("slots", trolley.slots())
                .addObject("rounds", rounds(trolley))
                .addObject("typed", Map.of())
                .addObject("told", Map.of());
    }

    private static String rounds(Trolley trolley) {
        return "A check every " + days(trolley.checkDays()) + ", a full one every " + days(trolley.fullDays()) + ", by "
                + trolley.dueAt() + ".";
    }

    private static String days(int days) {
        return days == 1 ? "day" : days + " days";
    }

    private static Shown shown(Check check, Trolleys.Whole whole, Trolley trolley) {
        ZoneId zone = trolley.site().zone();
        Check.Found found = check.found();
        boolean withdrawn = check.status().equals("withdrawn");
        List<String> lines = new ArrayList<>();
        if (found.sealFound() != null) {
            lines.add("Seal found: " + found.sealFound() + (found.sealRead() == null ? "" : ", " + found.sealRead())
                    + ".");
        }
        if (found.sealApplied() != null) {
            lines.add("New seal: " + found.sealApplied() + ".");
        }
        int right = 0;
        for (int i = 0; i < found.lines().size(); i++) {
            Slot slot = check.slots().get(i);
            int count = found.lines().get(i).count();
            if (count >= slot.wanted()) {
                right++;
            } else {
                lines.add(slot.title() + ", drawer " + slot.drawer() + ": " + count + " of " + slot.wanted() + ".");
            }
        }
        if (!found.lines().isEmpty()) {
            lines.add(right + " of " + found.lines().size() + " slots as they should be.");
        }
        if (found.light() != null) {
            lines.add("Light or picture " + (found.light() ? "works." : "failed."));
        }
        if (found.battery() != null) {
            lines.add("Charged " + found.battery() + "%.");
        }
        if (found.memoryFree() != null) {
            lines.add("Memory has " + (found.memoryFree() ? "room." : "no room."));
        }
        if (found.recordings() != null) {
            lines.add("Recordings: " + found.recordings().words().toLowerCase(Locale.ROOT) + ".");
        }
        boolean late = found.at().plus(Move.LATE).isBefore(check.enteredAt());
        return new Shown(
                check.version(),
                withdrawn
                        ? "Line " + check.corrects() + " taken back"
                        : found.kind().words()
                                + (check.corrects() == null ? "" : ", in place of line " + check.corrects()),
                AT.format(found.at().atZone(zone))
                        + (late
                                ? "; entered later, "
                                        + AT.format(check.enteredAt().atZone(zone))
                                : ""),
                lines,
                check.reason() == null ? String.valueOf(found.note() == null ? "" : found.note()) : check.reason(),
                !withdrawn && !whole.corrected().contains(check.version()));
    }

    /** Says that it was opened, with one press: whoever needs what is in it has no time for more. */
    @PostMapping(path = "/kit/trolleys/{id}/opened", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView opened(@PathVariable String id, @RequestParam MultiValueMap<String, String> typed) {
        UUID trolley = Key.of(id, "trolley");
        ObjectNode body = texts(typed, List.of("note", "at")).put("kind", Check.Kind.OPENED.code());
        try {
            trolleys.check(trolley, body);
        } catch (Problem.Invalid e) {
            return trolley(trolley, HttpStatus.UNPROCESSABLE_CONTENT)
                    .addObject("told", told(e))
                    .addObject("typed", typed.toSingleValueMap());
        }
        return seeOther("/kit/trolleys/" + trolley);
    }

    @Needs(Right.KEEP_KIT)
    @GetMapping("/kit/trolleys/{id}/check")
    ModelAndView check(@PathVariable String id, @RequestParam(defaultValue = "") String kind) {
        Trolleys.Whole whole = trolleys.trolley(Key.of(id, "trolley"));
        Standing standing = whole.standing();
        boolean shortOne = kind.equals(Check.Kind.SHORT.code()) && standing.shortCheck();
        Map<String, String> typed = new LinkedHashMap<>();
        typed.put("kind", shortOne ? Check.Kind.SHORT.code() : Check.Kind.FULL.code());
        typed.put("seen", String.valueOf(standing.seen()));
        Check full = standing.full();
        Trolley trolley = standing.trolley();
        if (full != null && full.slots().equals(trolley.slots())) {
            for (int i = 0; i < full.found().lines().size(); i++) {
                var useBy = full.found().lines().get(i).useBy();
                if (useBy != null) {
                    typed.put("use_by." + (i + 1), useBy.toString());
                }
            }
        }
        return form(whole, null, typed, Map.of(), HttpStatus.OK);
    }

    /** Puts an earlier check right: what it said is filled in. */
    @Needs(Right.KEEP_KIT)
    @GetMapping("/kit/trolleys/{id}/checks/{version}")
    ModelAndView correct(@PathVariable String id, @PathVariable String version) {
        UUID key = Key.of(id, "trolley");
        Trolleys.Whole whole = trolleys.trolley(key);
        Check check = trolleys.check(key, TrolleyApi.line(version));
        Trolley trolley = whole.standing().trolley();
        Map<String, String> typed = filledIn(check, trolley.site().zone());
        typed.put("seen", String.valueOf(whole.standing().seen()));
        return form(whole, check, typed, Map.of(), HttpStatus.OK);
    }

    private static Map<String, String> filledIn(Check check, ZoneId zone) {
        Check.Found found = check.found();
        Map<String, String> typed = new LinkedHashMap<>();
        typed.put("kind", found.kind().code());
        typed.put("at", TYPED.format(found.at().atZone(zone)));
        put(typed, "seal_found", found.sealFound());
        put(typed, "seal_read", found.sealRead());
        put(typed, "seal_applied", found.sealApplied());
        for (int i = 0; i < found.lines().size(); i++) {
            Check.Line line = found.lines().get(i);
            if (line.count() == check.slots().get(i).wanted()) {
                typed.put("ok." + (i + 1), "yes");
            } else {
                typed.put("found." + (i + 1), String.valueOf(line.count()));
            }
            put(typed, "use_by." + (i + 1), line.useBy());
        }
        put(typed, "light", found.light() == null ? null : found.light() ? "yes" : "no");
        put(typed, "battery", found.battery());
        put(typed, "memory_free", found.memoryFree() == null ? null : found.memoryFree() ? "yes" : "no");
        put(
                typed,
                "recordings",
                found.recordings() == null ? null : found.recordings().code());
        put(typed, "note", found.note());
        return typed;
    }

    private static void put(Map<String, String> typed, String name, @Nullable Object value) {
        if (value != null) {
            typed.put(name, value.toString());
        }
    }

    private static ModelAndView form(
            Trolleys.Whole whole,
            @Nullable Check earlier,
            Map<String, String> typed,
            Map<String, String> told,
            HttpStatus status) {
        Standing standing = whole.standing();
        Trolley trolley = standing.trolley();
        String kind = typed.getOrDefault("kind", Check.Kind.FULL.code());
        List<Asked> asked = new ArrayList<>();
        String before = "";
        List<Slot> slots = earlier == null ? trolley.slots() : earlier.slots();
        for (int i = 0; i < slots.size(); i++) {
            Slot slot = slots.get(i);
            asked.add(new Asked(
                    i + 1,
                    slot.drawer(),
                    !slot.drawer().equals(before),
                    slot.title(),
                    String.valueOf(slot.wanted()),
                    slot.dated()));
            before = slot.drawer();
        }
        return new ModelAndView("kit/check", status)
                .addObject("unitCode", trolley.site().code())
                .addObject("id", trolley.id())
                .addObject(
                        "heading",
                        (earlier == null
                                        ? Check.Kind.of(kind)
                                                .map(Check.Kind::words)
                                                .orElse("Check")
                                        : "Put line " + earlier.version() + " right")
                                + ", " + trolley.title())
                .addObject("corrects", earlier == null ? null : earlier.version())
                .addObject("kind", kind)
                .addObject("shortCheck", standing.shortCheck())
                .addObject("seal", standing.seal())
                .addObject("slots", asked)
                .addObject("light", trolley.light())
                .addObject("battery", trolley.batteryLeast())
                .addObject("recorder", trolley.recorder())
                .addObject("recordings", Check.Recordings.values())
                .addObject("typed", typed)
                .addObject("told", told)
                .addObject("now", null);
    }

    @Needs(Right.KEEP_KIT)
    @PostMapping(path = "/kit/trolleys/{id}/checks", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView keep(@PathVariable String id, @RequestParam MultiValueMap<String, String> typed) {
        UUID key = Key.of(id, "trolley");
        String corrects = typed.getFirst("corrects");
        Trolleys.Whole before = trolleys.trolley(key);
        Check earlier = corrects == null || corrects.isBlank() ? null : trolleys.check(key, TrolleyApi.line(corrects));
        List<Slot> slots = earlier == null ? before.standing().trolley().slots() : earlier.slots();
        ObjectNode body = texts(typed, TEXTS);
        number(body, typed, "seen");
        number(body, typed, "battery");
        if (earlier != null) {
            body.put("corrects", earlier.version());
        }
        Map<String, String> told = new LinkedHashMap<>();
        if (Check.Kind.FULL.code().equals(typed.getFirst("kind"))) {
            ArrayNode lines = body.putArray("lines");
            for (int i = 1; i <= slots.size(); i++) {
                line(lines.addObject(), slots.get(i - 1), typed, i, told);
            }
        }
        try {
            if (!told.isEmpty()) {
                return form(before, earlier, typed.toSingleValueMap(), told, HttpStatus.UNPROCESSABLE_CONTENT);
            }
            trolleys.check(key, body);
        } catch (Problem.TrolleyChecked e) {
            Trolleys.Whole now = trolleys.trolley(key);
            Map<String, String> again = new LinkedHashMap<>(typed.toSingleValueMap());
            again.put("seen", String.valueOf(now.standing().seen()));
            return form(now, earlier, again, Map.of(), HttpStatus.CONFLICT).addObject("now", e.detail());
        } catch (Problem.Invalid e) {
            return form(before, earlier, typed.toSingleValueMap(), told(e), HttpStatus.UNPROCESSABLE_CONTENT);
        }
        return seeOther("/kit/trolleys/" + key);
    }

    /** A tick says that as many lie there as should; a number says how many do. Both is a contradiction. */
    private static void line(
            ObjectNode line, Slot slot, MultiValueMap<String, String> typed, int no, Map<String, String> told) {
        boolean right = typed.containsKey("ok." + no);
        String count = Objects.requireNonNullElse(typed.getFirst("found." + no), "");
        boolean counted = !count.isBlank();
        if (right && counted && !String.valueOf(slot.wanted()).equals(count.strip())) {
            told.put("found." + no, slot.title() + ": it is ticked and counted; leave one out.");
        }
        if (right) {
            line.put("found", slot.wanted());
        } else if (counted) {
            number(line, "found", count);
        }
        String useBy = typed.getFirst("use_by." + no);
        if (slot.dated() && useBy != null && !useBy.isBlank()) {
            line.put("use_by", useBy.strip());
        }
    }

    @Needs(Right.KEEP_KIT)
    @PostMapping(
            path = "/kit/trolleys/{id}/checks/{version}/withdrawal",
            consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView takeBack(
            @PathVariable String id, @PathVariable String version, @RequestParam MultiValueMap<String, String> typed) {
        UUID key = Key.of(id, "trolley");
        int line = TrolleyApi.line(version);
        ObjectNode body = texts(typed, List.of("reason"));
        number(body, typed, "seen");
        try {
            trolleys.takeBack(key, line, body);
        } catch (Problem.Invalid | Problem.TrolleyChecked e) {
            Trolleys.Whole whole = trolleys.trolley(key);
            Check check = trolleys.check(key, line);
            Map<String, String> again =
                    filledIn(check, whole.standing().trolley().site().zone());
            again.put("seen", String.valueOf(whole.standing().seen()));
            return e instanceof Problem.TrolleyChecked
                    ? form(whole, check, again, Map.of(), HttpStatus.CONFLICT).addObject("now", e.detail())
                    : form(
                            whole,
                            check,
                            again,
                            Map.of("out_reason", "Write why it is taken back."),
                            HttpStatus.UNPROCESSABLE_CONTENT);
        }
        return seeOther("/kit/trolleys/" + key);
    }

    @Needs(Right.KEEP_KIT)
    @GetMapping("/kit/trolleys/new")
    ModelAndView begin(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        Site site = sites.named(siteId);
        Map<String, String> typed = new LinkedHashMap<>();
        typed.put("due_at", "07:30");
        typed.put("check_days", "1");
        typed.put("full_days", "7");
        typed.put("in_use", "yes");
        return layout(site, null, typed, EMPTY_ROWS * 2, Map.of(), HttpStatus.OK);
    }

    @Needs(Right.KEEP_KIT)
    @GetMapping("/kit/trolleys/{id}/layout")
    ModelAndView layout(@PathVariable String id) {
        Trolley trolley = trolleys.trolley(Key.of(id, "trolley")).standing().trolley();
        Map<String, String> typed = new LinkedHashMap<>();
        typed.put("title", trolley.title());
        typed.put("in_use", trolley.inUse() ? "yes" : "no");
        typed.put("due_at", trolley.dueAt().toString());
        typed.put("check_days", String.valueOf(trolley.checkDays()));
        typed.put("full_days", String.valueOf(trolley.fullDays()));
        typed.put("light", trolley.light() ? "yes" : "no");
        put(typed, "battery_least", trolley.batteryLeast());
        typed.put("recorder", trolley.recorder() ? "yes" : "no");
        typed.put("seen", String.valueOf(trolley.version()));
        for (int i = 1; i <= trolley.slots().size(); i++) {
            Slot slot = trolley.slots().get(i - 1);
            typed.put("drawer." + i, slot.drawer());
            typed.put("title." + i, slot.title());
            typed.put("wanted." + i, String.valueOf(slot.wanted()));
            typed.put("least." + i, String.valueOf(slot.least()));
            if (slot.dated()) {
                typed.put("dated." + i, "yes");
            }
        }
        return layout(trolley.site(), trolley, typed, trolley.slots().size() + EMPTY_ROWS, Map.of(), HttpStatus.OK);
    }

    private static ModelAndView layout(
            Site site,
            @Nullable Trolley trolley,
            Map<String, String> typed,
            int rows,
            Map<String, String> told,
            HttpStatus status) {
        return new ModelAndView("kit/layout", status)
                .addObject("unitCode", site.code())
                .addObject("id", trolley == null ? null : trolley.id())
                .addObject("name", trolley == null ? "A new trolley" : trolley.title())
                .addObject("rows", Math.min(rows, TrolleyForm.MOST_SLOTS))
                .addObject("typed", typed)
                .addObject("told", told)
                .addObject("stale", null);
    }

    @Needs(Right.KEEP_KIT)
    @PostMapping(path = "/kit/trolleys", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView add(@RequestParam MultiValueMap<String, String> typed) {
        Site site = sites.named(typed.getFirst("site_id"));
        if (typed.containsKey("more")) {
            return layout(site, null, typed.toSingleValueMap(), rows(typed) + EMPTY_ROWS, Map.of(), HttpStatus.OK);
        }
        Rows rows = Rows.of(typed);
        try {
            return seeOther("/kit/trolleys/"
                    + trolleys.add(rows.body().put("site_id", site.code()))
                            .trolley()
                            .id());
        } catch (Problem.Invalid | Problem.Conflict e) {
            return layout(site, null, typed.toSingleValueMap(), rows(typed), rows.told(e), status(e));
        }
    }

    @Needs(Right.KEEP_KIT)
    @PostMapping(path = "/kit/trolleys/{id}/layout", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView amend(@PathVariable String id, @RequestParam MultiValueMap<String, String> typed) {
        UUID key = Key.of(id, "trolley");
        Trolley trolley = trolleys.trolley(key).standing().trolley();
        Site site = trolley.site();
        Map<String, String> single = typed.toSingleValueMap();
        if (typed.containsKey("more")) {
            return layout(site, trolley, single, rows(typed) + EMPTY_ROWS, Map.of(), HttpStatus.OK);
        }
        String seen = String.valueOf(typed.getFirst("seen"));
        if (!seen.matches("[1-9]\\d{0,8}")) {
            throw new Problem.Malformed(
                    Fault.parameter("seen", "version", "Send the version that the page was given."));
        }
        Rows rows = Rows.of(typed);
        try {
            trolleys.amend(key, Integer.parseInt(seen), rows.body());
        } catch (Problem.Invalid | Problem.Conflict e) {
            return layout(site, trolley, single, rows(typed), rows.told(e), status(e));
        } catch (Problem.Stale e) {
            Map<String, String> again = new LinkedHashMap<>(single);
            again.put("seen", String.valueOf(trolley.version()));
            return layout(site, trolley, again, rows(typed), Map.of(), HttpStatus.PRECONDITION_FAILED)
                    .addObject(
                            "stale",
                            "Somebody else has changed this list since you opened it. Nothing of yours was saved yet,"
                                    + " and what you typed is still here: look at theirs on the page of the trolley,"
                                    + " then press \u201cKeep\u201d again to lay yours over it.");
        }
        return seeOther("/kit/trolleys/" + key);
    }

    /** How many rows a form had. */
    private static int rows(MultiValueMap<String, String> typed) {
        int rows = 0;
        while (rows < TrolleyForm.MOST_SLOTS && typed.containsKey("title." + (rows + 1))) {
            rows++;
        }
        return rows;
    }

    /**
     * The rows of a form that were filled in, and from which row each slot came.
     *
     * @param body as the API takes it
     * @param from numbers of rows, from 1, by slot
     */
    private record Rows(ObjectNode body, List<Integer> from) {
        static Rows of(MultiValueMap<String, String> typed) {
            ObjectNode body = texts(typed, LAYOUT);
            LAYOUT_NUMBERS.forEach(name -> number(body, typed, name));
            ArrayNode slots = body.putArray("slots");
            List<Integer> from = new ArrayList<>();
            for (int i = 1; i <= rows(typed); i++) {
                ObjectNode slot = JSON.createObjectNode();
                for (String name : List.of("drawer", "title")) {
                    String value = typed.getFirst(name + "." + i);
                    if (value != null && !value.isBlank()) {
                        slot.put(name, value);
                    }
                }
                for (String name : List.of("wanted", "least")) {
                    String value = typed.getFirst(name + "." + i);
                    if (value != null && !value.isBlank()) {
                        number(slot, name, value);
                    }
                }
                if (!slot.isEmpty()) {
                    slots.add(slot.put("dated", typed.containsKey("dated." + i) ? "yes" : "no"));
                    from.add(i);
                }
            }
            return new Rows(body, from);
        }

        Map<String, String> told(Problem problem) {
            Map<String, String> told = new LinkedHashMap<>();
            TrolleyPages.told(problem).forEach((field, mend) -> {
                int dot = field.indexOf('.');
                told.put(
                        dot < 0
                                ? field
                                : field.substring(0, dot + 1)
                                        + from.get(Integer.parseInt(field.substring(dot + 1)) - 1),
                        mend);
            });
            return told;
        }
    }

    /** What was typed, as the API takes it; fields left empty are left out. */
    private static ObjectNode texts(MultiValueMap<String, String> typed, List<String> names) {
        ObjectNode body = JSON.createObjectNode();
        for (String name : names) {
            String value = typed.getFirst(name);
            if (value != null && !value.isBlank()) {
                body.put(name, value);
            }
        }
        return body;
    }

    private static void number(ObjectNode body, MultiValueMap<String, String> typed, String name) {
        String value = typed.getFirst(name);
        if (value != null && !value.isBlank()) {
            number(body, name, value);
        }
    }

    /** What is no number is sent as it is, so that it is told as the API tells it. */
    private static void number(ObjectNode body, String name, String value) {
        if (NUMBER.matcher(value.strip()).matches()) {
            body.put(name, Integer.parseInt(value.strip()));
        } else {
            body.put(name, value);
        }
    }

    /** What is to be mended, by the field of the page. */
    private static Map<String, String> told(Problem problem) {
        Map<String, String> told = new LinkedHashMap<>();
        for (Fault fault : problem.faults()) {
            Matcher listed = IN_LIST.matcher(fault.path());
            String field = listed.matches()
                    ? listed.group(2) + "." + (Integer.parseInt(listed.group(1)) + 1)
                    : fault.path().substring(1);
            told.put(field, problem instanceof Problem.Conflict ? problem.detail() + " " + fault.mend() : fault.mend());
        }
        return told;
    }

    private static HttpStatus status(Problem problem) {
        return problem instanceof Problem.Conflict ? HttpStatus.CONFLICT : HttpStatus.UNPROCESSABLE_CONTENT;
    }

    private static ModelAndView seeOther(String address) {
        RedirectView done = new RedirectView(address);
        done.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(done);
    }
}
