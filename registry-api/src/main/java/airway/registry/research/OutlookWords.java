package airway.registry.research;

import airway.registry.problem.Problem;
import airway.stats.disclosure.Generalisation.Loss;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * An outlook in words.
 *
 * @param refused why nothing may be made; null where something may
 * @param coarse how fine each would be told
 * @param notTold that the question is about what would be left out; null where it is not
 * @param loss the largest loss of a group, where it is over a tenth; else null
 */
record OutlookWords(
        String matching,
        String standingOut,
        @Nullable String refused,
        List<Coarse> coarse,
        String lost,
        @Nullable String lostOfNamed,
        @Nullable String notTold,
        @Nullable Integer loss,
        List<String> risks) {
    private static final Map<String, String> SEVERE =
            Map.of("yes", "with a severe event", "no", "without one or where that is not known");

    /** What would be done with a variable. */
    public record Coarse(String title, String how) {}

    /**
     * Puts it into words.
     *
     * @param about the group that the purpose is about; null where it names none
     */
    static OutlookWords of(Outlook outlook, @Nullable Group about) {
        String matching = "About " + OutlookJson.rounded(outlook.matching()) + " intubations match. About "
                + OutlookJson.rounded(outlook.notAllowed())
                + " of them stay here: the family objected, or nobody wrote down that they were asked. About "
                + OutlookJson.rounded(outlook.rows()) + " of about "
                + OutlookJson.rounded(outlook.patients()) + " children may leave.";
        String standingOut = "With every answer as fine as it could be told, about "
                + OutlookJson.rounded(outlook.standingOut())
                + " of these children share their answers with"
                + " fewer than " + (outlook.profile().k() - 1) + " others.";
        Outlook.Plan plan = outlook.plan();
        if (plan == null) {
            return new OutlookWords(
                    matching,
                    standingOut,
                    outlook.tooClose()
                            ? new Problem.TooClose().detail()
                            : "No package can be made of this: however coarse the answers, some child would stand out, or"
                                    + " more than 5% of the rows would be left out. Choose a longer period, fewer answers or"
                                    + " fewer filters.",
                    List.of(),
                    "",
                    null,
                    null,
                    null,
                    List.of());
        }
        List<Coarse> coarse = new ArrayList<>();
        if (outlook.choice().pseudonymised()) {
            coarse.add(new Coarse("Child", "a pseudonym of this package alone; rows of one child can be joined"));
        }
        if (outlook.choice().shifted()) {
            coarse.add(new Coarse(KnownVariable.ENCOUNTER_START.title(), Released.SHIFTED));
        }
        for (int i = 0; i < outlook.variables().size(); i++) {
            coarse.add(new Coarse(outlook.variables().get(i).title(), OutlookJson.toldAs(outlook, plan, i)));
        }
        Loss named = plan.lostOfNamed();
        return new OutlookWords(
                matching,
                standingOut,
                null,
                coarse,
                lost(plan),
                named == null || about == null ? null : about.words() + ": " + words(named) + " left out.",
                about == null ? null : notTold(about, coarse),
                plan.lossToAccept().isPresent() ? plan.lossToAccept().getAsInt() : null,
                risks(outlook, plan));
    }

    /** Says so where the question is about an answer that would not be told at all. */
    private static @Nullable String notTold(Group about, List<Coarse> coarse) {
        String title = about.variable().title();
        return coarse.contains(new Coarse(title, KnownVariable.LEFT_OUT))
                ? title
                        + " would be left out, so that the rows could not answer a question about it. Choose fewer answers"
                        + " beside it, or a longer period."
                : null;
    }

    private static String lost(Outlook.Plan plan) {
        return plan.removed() == 0
                ? "No row would be left out."
                : "About " + OutlookJson.rounded(plan.removed()) + " rows would be left out: "
                        + plan.lost().entrySet().stream()
                                .map(one -> words(one.getValue()) + " " + SEVERE.get(one.getKey()))
                                .collect(Collectors.joining(", "))
                        + ".";
    }

    private static String words(Loss loss) {
        return "about " + OutlookJson.rounded(loss.removed()) + " of " + OutlookJson.rounded(loss.all());
    }

    /** The three risks in plain words. No population is known, so the second is taken to be as large as the first. */
    private static List<String> risks(Outlook outlook, Outlook.Plan plan) {
        List<String> risks = new ArrayList<>(List.of(
                "The smallest group of the same answers has " + plan.smallestGroup() + " children.",
                "Somebody who knows that a child is among the rows finds it with a chance of 1 in "
                        + plan.smallestGroup() + " at most, and of "
                        + percent(plan.risk().average()) + " on average.",
                "Somebody who does not know whether the child is among them has the same chance at most. How many like it"
                        + " there are outside is not known, so nothing is taken off.",
                "Somebody who tries with all children finds about "
                        + percent(plan.risk().average()) + " of them."));
        if (outlook.choice().shifted()) {
            risks.add(
                    "Somebody who knows how many days lie between two intubations of a child may know it by that: the days are"
                            + " shifted, the time between them is not, and no risk above counts it.");
        }
        risks.add(
                outlook.earlier() == 0
                        ? "No package has left this unit before."
                        : "Earlier packages of the unit that it was held against, taken together: " + outlook.earlier()
                                + ".");
        return risks;
    }

    private static String percent(double share) {
        return share < 0.001 ? "less than 0.1%" : Math.round(share * 1000) / 10.0 + "%";
    }
}
