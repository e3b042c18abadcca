package airway.registry.people;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.keys.KeyRotation;
import java.time.Clock;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.HttpStatus;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;

/** Which keys there are, what is still sealed with each, and making a new one. */
@Needs(Right.ADMINISTER)
@Controller
@ConditionalOnWebApplication
class KeyPages {
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.ENGLISH);

    private final KeyRotation rotation;
    private final Clock clock;

    KeyPages(KeyRotation rotation, Clock clock) {
        this.rotation = rotation;
        this.clock = clock;
    }

    /** A key for the page. */
    public record Line(int number, String made, boolean seals, int all, String rows) {}

    @GetMapping("/keys")
    ModelAndView keys() {
        List<KeyRotation.Held> held = rotation.held();
        int left = held.stream()
                .filter(key -> !key.seals())
                .mapToInt(KeyRotation.Held::all)
                .sum();
        return new ModelAndView("people/keys")
                .addObject("keys", held.stream().map(this::line).toList())
                .addObject("left", left)
                .addObject("all", held.stream().mapToInt(KeyRotation.Held::all).sum());
    }

    private Line line(KeyRotation.Held key) {
        return new Line(
                key.number(),
                DAY.format(key.madeAt().atZone(clock.getZone())),
                key.seals(),
                key.all(),
                key.rows().entrySet().stream()
                        .sorted(Map.Entry.comparingByKey())
                        .map(rows -> rows.getKey() + ": " + rows.getValue())
                        .collect(Collectors.joining("; ")));
    }

    @PostMapping("/keys")
    RedirectView make() {
        rotation.begin();
        RedirectView keys = new RedirectView("/keys");
        keys.setStatusCode(HttpStatus.SEE_OTHER);
        return keys;
    }
}
