package airway.registry.kit;

import airway.registry.access.Needs;
import java.time.Clock;
import java.time.LocalDate;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.MediaType;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;

/** Trying a scanner: a known symbol, every character that comes, and how a label would be read. */
@Needs({})
@Controller
@ConditionalOnWebApplication
class ScannerPages {
    private static final int LONGEST = 2_000;

    private final Clock clock;

    ScannerPages(Clock clock) {
        this.clock = clock;
    }

    @GetMapping("/kit/scanner")
    ModelAndView page() {
        return page(null);
    }

    /** Sent as a form so that what was scanned stands in no address. */
    @PostMapping(path = "/kit/scanner", consumes = MediaType.APPLICATION_FORM_URLENCODED_VALUE)
    ModelAndView tried(@RequestParam(defaultValue = "") String data) {
        return page(data.substring(0, Math.min(data.length(), LONGEST)));
    }

    private ModelAndView page(@Nullable String sent) {
        // A box for text shows a separator as its picture, and sends that back.
        String data = sent == null ? "" : sent.replace('\u241d', Scan.SEPARATOR);
        Scan scan = Scan.read(data, LocalDate.now(clock));
        return new ModelAndView("kit/scanner")
                .addObject("symbol", ScannerTrial.symbol())
                .addObject("tried", sent != null)
                .addObject("data", data.replace(Scan.SEPARATOR, '\u241d'))
                .addObject("verdict", ScannerTrial.verdict(data))
                .addObject("signs", ScannerTrial.signs(data))
                .addObject("told", scan.result().words())
                .addObject("result", scan.result().name())
                .addObject(
                        "warnings",
                        scan.warnings().stream().map(Scan.Warning::words).toList())
                .addObject("elements", sent == null ? List.of() : scan.elements());
    }
}
