package airway.registry.research;

import airway.stats.disclosure.Generalisation.Loss;
import java.util.ArrayList;
import java.util.List;

/** The report on the risk in words. */
record RiskPage(String intro, List<Line> facts, List<Line> levels, List<Line> lost, String trial, String population) {
    /** A line: what, and how much of it. */
    public record Line(String what, String value) {}

    static RiskPage of(RiskReport report) {
        Coarsening coarsening = report.coarsening();
        Profile profile = coarsening.profile();
        List<Line> facts = List.of(
                new Line("Rows", String.valueOf(coarsening.rows().size() - report.removed())),
                new Line("Rows left out because a child would have stood out", String.valueOf(report.removed())),
                new Line("Children (N)", String.valueOf(report.found().classes().patients())),
                new Line(
                        "Groups (J)",
                        String.valueOf(report.found().classes().all().size())),
                new Line(
                        "Children in the smallest group (k)",
                        report.found().classes().k() + "; needed " + profile.k()),
                new Line(
                        "Risk of a child known to be among the rows (prosecutor)",
                        "highest " + number(report.risk().highest()) + ", mean "
                                + number(report.risk().average()) + "; allowed " + profile.threshold()),
                new Line(
                        "Children over what is allowed",
                        String.valueOf(report.risk().atRisk())),
                new Line(
                        "Risk of a child not known to be among them (journalist)",
                        "highest " + number(report.risk().highest()) + ", mean "
                                + number(report.risk().average())),
                new Line(
                        "Share found by somebody who tries with all (marketer)",
                        number(report.risk().average())),
                new Line(
                        "Fewest different answers to \u201csevere event\u201d in a group (l)",
                        report.fewestSecrets() + "; needed 2"),
                new Line(
                        "Fewest of them by entropy (effective number)",
                        String.valueOf(Math.floor(report.fewestEffectiveSecrets() * 1000 + 1e-9) / 1000)
                                + "; told, nothing needed"),
                new Line(
                        "Largest distance of a group from all by severe event (t)",
                        number(report.farthest()) + "; told, nothing needed"));
        List<Line> levels = new ArrayList<>();
        for (int i = 0; i < coarsening.variables().size(); i++) {
            levels.add(new Line(coarsening.variables().get(i).title(), coarsening.toldAs(report.found(), i)));
        }
        if (coarsening.choice().shifted()) {
            levels.add(new Line(KnownVariable.ENCOUNTER_START.title(), Released.SHIFTED + "; not judged"));
        }
        List<Line> lost = new ArrayList<>();
        report.lost()
                .forEach((value, loss) -> lost.add(new Line(
                        value.equals("yes") ? "With a severe event" : "Without one, or where that is not known",
                        words(loss))));
        Loss named = coarsening.lostOfNamed(report.found());
        if (named != null) {
            lost.add(new Line("The group that the purpose names", words(named)));
        }
        return new RiskPage(
                coarsening.choice().holder()
                        + (profile == Profile.INTERNAL_PSEUDONYMISED ? ". Never leaves the organisation" : "")
                        + ". Rules of privacy, version " + RiskReport.RULES + ".",
                facts,
                levels,
                lost,
                "Of " + report.trial().patients() + " children an intruder found "
                        + number(report.trial().found()) + " in the mean; the mean risk claimed is "
                        + number(report.risk().average()) + ". " + RiskReport.TRIAL,
                RiskReport.POPULATION);
    }

    private static String words(Loss loss) {
        return loss.removed() + " of " + loss.all() + (loss.overATenth() ? ", more than a tenth" : "");
    }

    /** Rounded up in the third place: a risk is never told as less than it is. */
    private static String number(double risk) {
        return String.valueOf(Math.ceil(risk * 1000 - 1e-9) / 1000);
    }
}
