package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.problem.Problem;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.stereotype.Controller;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.util.UriComponentsBuilder;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Sending many used items under one tracking label, the paper that goes with them, and taking them back. */
@Needs(Right.KEEP_KIT)
@Controller
class SendingPages {
    private static final List<String> OF_A_SENDING = List.of("label", "destination");
    private static final List<String> OF_A_RETURN =
            List.of("label", "cycle", "cycle_ended_at", "cycle_passed", "use_by", "place");

    private final Kit kit;
    private final Items items;
    private final Sites sites;
    private final TrackingPaper paper;

    SendingPages(Kit kit, Items items, Sites sites, TrackingPaper paper) {
        this.kit = kit;
        this.items = items;
        this.sites = sites;
        this.paper = paper;
    }

    /** An item that can be ticked. */
    public record Line(UUID id, int version, String name, String words, boolean ticked) {}

    /** A sending in the list of those that are away. */
    public record Away(String label, String words) {}

    @GetMapping("/kit/sending")
    ModelAndView sending(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return sending(sites.named(siteId), Map.of(), List.of(), Map.of(), "", HttpStatus.OK);
    }

    private ModelAndView sending(
            Site site,
            Map<String, String> typed,
            List<UUID> ticked,
            Map<String, String> told,
            String clash,
            HttpStatus status) {
        List<Traced> all = kit.items(site);
        return new ModelAndView("kit/sending", status)
                .addObject("unitCode", site.code())
                .addObject(
                        "used",
                        all.stream()
                                .filter(item -> item.life().state() == State.USED)
                                .map(item -> line(item, ticked))
                                .toList())
                .addObject(
                        "still",
                        Sending.open(site, all).stream().map(SendingPages::away).toList())
                .addObject("questions", Offer.ofASending(items.places(site)))
                .addObject("typed", typed)
                .addObject("told", told)
                .addObject("clash", clash);
    }

    private static Line line(Traced item, List<UUID> ticked) {
        String place = item.life().place();
        return new Line(
                item.item().id(),
                item.life().version(),
                item.item().name() + ", " + item.kind().title(),
                Sending.away(item)
                        ? item.life().state().words()
                        : item.life().state() == State.USED
                                ? (place == null ? "place not told" : place)
                                : item.life().state().words() + (place == null ? "" : ": " + place),
                ticked.contains(item.item().id()));
    }

    private static Away away(Sending sending) {
        long still = sending.items().stream().filter(Sending::away).count();
        return new Away(
                sending.label(),
                still + " of " + sending.items().size() + " still away, to " + sending.destination() + " since "
                        + Sending.AT.format(sending.at().atZone(sending.site().zone())));
    }

    @PostMapping(path = "/kit/sending", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView send(@RequestParam MultiValueMap<String, String> sent) {
        Site site = sites.named(sent.getFirst("site_id"));
        Map<String, String> typed = new LinkedHashMap<>(sent.toSingleValueMap());
        Map<UUID, Traced> all = new LinkedHashMap<>();
        kit.items(site).forEach(item -> all.put(item.item().id(), item));
        Map<UUID, Integer> going = ticked(sent);
        List<String> wrong = new ArrayList<>();
        for (String line :
                typed.getOrDefault("scanned", "").lines().map(String::strip).toList()) {
            if (!line.isEmpty()) {
                Optional<Traced> item =
                        items.find(site, line.replace('\u241d', Scan.SEPARATOR)).map(all::get);
                if (item.isEmpty()) {
                    wrong.add("No item of this unit has the label " + line + ".");
                } else if (item.get().life().state() != State.USED) {
                    wrong.add(line + " is not waiting to go; it is now: "
                            + item.get().life().state().words() + ".");
                } else {
                    going.putIfAbsent(item.get().item().id(), item.get().life().version());
                }
            }
        }
        Map<String, String> told = new LinkedHashMap<>();
        if (!wrong.isEmpty()) {
            told.put("scanned", String.join(" ", wrong));
        }
        if (going.isEmpty() && wrong.isEmpty()) {
            told.put("scanned", "Scan the labels of what goes, or tick it above.");
        }
        if (!told.isEmpty()) {
            return sending(site, typed, List.copyOf(going.keySet()), told, "", HttpStatus.UNPROCESSABLE_CONTENT);
        }
        Map<String, String> chosen = ItemPages.withOthers(typed);
        try {
            kit.send(body(chosen, OF_A_SENDING, site, going));
        } catch (Problem.ItemMoved | Problem.NoSuchMove e) {
            return sending(site, typed, List.copyOf(going.keySet()), Map.of(), e.detail(), HttpStatus.CONFLICT);
        } catch (Problem.Invalid e) {
            return sending(
                    site, typed, List.copyOf(going.keySet()), ItemPages.told(e, "sent-"), "", ItemPages.status(e));
        }
        return ItemPages.seeOther(of(site, chosen.getOrDefault("label", "").strip()));
    }

    private static String of(Site site, String label) {
        return UriComponentsBuilder.fromPath("/kit/label")
                .queryParam("site_id", site.code())
                .queryParam("label", "{label}")
                .encode()
                .buildAndExpand(label)
                .toUriString();
    }

    /** What was ticked, each with the version that the page showed. */
    private static Map<UUID, Integer> ticked(MultiValueMap<String, String> sent) {
        Map<UUID, Integer> ticked = new LinkedHashMap<>();
        for (String one : sent.getOrDefault("item", List.of())) {
            if (one.matches("[0-9a-f-]{36}/\\d{1,9}")) {
                ticked.put(UUID.fromString(one.substring(0, 36)), Integer.parseInt(one.substring(37)));
            }
        }
        return ticked;
    }

    private static ObjectNode body(Map<String, String> typed, List<String> names, Site site, Map<UUID, Integer> going) {
        ObjectNode body = ItemPages.body(typed, names, List.of()).put("site_id", site.code());
        ArrayNode list = body.putArray("items");
        going.forEach(
                (id, seen) -> list.addObject().put("item_id", id.toString()).put("seen", seen));
        return body;
    }

    @GetMapping("/kit/label")
    ModelAndView label(
            @RequestParam(name = "site_id", required = false) @Nullable String siteId, @RequestParam String label) {
        return label(named(siteId, label), Map.of(), List.of(), Map.of(), "", HttpStatus.OK);
    }

    private Sending named(@Nullable String siteId, String label) {
        Site site = sites.named(siteId);
        return Sending.of(site, kit.items(site), label).orElseThrow(() -> new Problem.Missing("sending"));
    }

    private ModelAndView label(
            Sending sending,
            Map<String, String> typed,
            List<UUID> ticked,
            Map<String, String> told,
            String clash,
            HttpStatus status) {
        ZoneId zone = sending.site().zone();
        return new ModelAndView("kit/label", status)
                .addObject("unitCode", sending.site().code())
                .addObject("label", sending.label())
                .addObject(
                        "words",
                        "To " + sending.destination() + ", "
                                + Sending.AT.format(sending.at().atZone(zone)))
                .addObject(
                        "still",
                        sending.items().stream()
                                .filter(Sending::away)
                                .map(item -> line(item, ticked))
                                .toList())
                .addObject(
                        "back",
                        sending.items().stream()
                                .filter(item -> !Sending.away(item))
                                .map(item -> line(item, ticked))
                                .toList())
                .addObject("questions", Offer.ofAReturn(items.places(sending.site())))
                .addObject("typed", typed)
                .addObject("told", told)
                .addObject("clash", clash);
    }

    @GetMapping("/kit/label/paper")
    ResponseEntity<byte[]> paper(
            @RequestParam(name = "site_id", required = false) @Nullable String siteId, @RequestParam String label) {
        Sending sending = named(siteId, label);
        return ResponseEntity.ok()
                .header(HttpHeaders.CONTENT_DISPOSITION, "inline; filename=sending.pdf")
                .contentType(MediaType.APPLICATION_PDF)
                .body(paper.pdf(sending));
    }

    @PostMapping(path = "/kit/label", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView takeBack(@RequestParam MultiValueMap<String, String> sent) {
        Map<String, String> typed = new LinkedHashMap<>(sent.toSingleValueMap());
        Sending sending = named(typed.get("site_id"), typed.getOrDefault("label", ""));
        Map<UUID, Integer> back = ticked(sent);
        List<UUID> ids = List.copyOf(back.keySet());
        try {
            kit.takeBack(body(ItemPages.withOthers(typed), OF_A_RETURN, sending.site(), back));
        } catch (Problem.ItemMoved | Problem.NoSuchMove e) {
            return label(sending, typed, ids, Map.of(), e.detail(), HttpStatus.CONFLICT);
        } catch (Problem.Invalid e) {
            return label(sending, typed, ids, ItemPages.told(e, "back-"), "", ItemPages.status(e));
        }
        return ItemPages.seeOther(of(sending.site(), sending.label()));
    }
}
