package airway.registry.encounter;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.dictionary.Code;
import airway.registry.dictionary.Dictionary;
import airway.registry.dictionary.Layer;
import airway.registry.dictionary.Level;
import airway.registry.dictionary.Variable;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.servlet.ModelAndView;

/** The form on one sheet of paper, for when there is no computer: printed from the dictionary, typed in later. */
@Needs(Right.RECORD)
@Controller
class PaperPages {
    /** Told by the ticks of the events themselves, or by writing in a line of its own. */
    private static final Set<String> WRITTEN = Set.of("encounter_start", "event_type", "event_attempt_no");

    /** Not needed, but known at the bedside alone. */
    private static final String TRACED = "kit_labels";

    /** As many set-ups of the unit as one sheet has room for. */
    private static final int MOST_SETUPS = 10;

    private final Sites sites;
    private final DeviceSetups setups;

    PaperPages(Sites sites, DeviceSetups setups) {
        this.sites = sites;
        this.setups = setups;
    }

    /**
     * One question on paper.
     *
     * @param options what may be ticked; empty where something is written
     * @param unit what the written number is in
     */
    public record Line(String title, List<String> options, String unit) {}

    @GetMapping("/record/paper")
    ModelAndView paper(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        Site site = sites.named(siteId);
        return new ModelAndView("encounter/paper")
                .addObject("unitCode", site.code())
                .addObject("version", Dictionary.current().version())
                .addObject("encounter", lines(site, Level.ENCOUNTER))
                .addObject("course", lines(site, Level.COURSE))
                .addObject("attempt", lines(site, Level.ATTEMPT))
                .addObject("events", Tile.events());
    }

    private List<Line> lines(Site site, Level level) {
        return Dictionary.current().variables(level).stream()
                .filter(variable -> (variable.layer() == Layer.FIRST && !WRITTEN.contains(variable.name()))
                        || variable.name().equals(TRACED))
                .map(variable -> new Line(variable.title(), options(site, variable), unit(variable)))
                .toList();
    }

    private List<String> options(Site site, Variable variable) {
        if (variable.name().equals("device_setup_id")) {
            return Stream.concat(
                            setups.all(site).stream().map(DeviceSetup::title).limit(MOST_SETUPS),
                            Stream.of("Another (write its name)", "Not known"))
                    .toList();
        }
        Stream<String> codes = variable.codes().stream().map(Code::label);
        boolean unknown = variable.coded() && variable.code(Answering.NOT_KNOWN).isEmpty();
        return Stream.concat(codes, unknown ? Stream.of("Not known") : Stream.empty())
                .toList();
    }

    private static String unit(Variable variable) {
        return variable.name().equals("age_days")
                ? "days, weeks, months or years"
                : JsonAnswers.unit(variable).strip();
    }
}
