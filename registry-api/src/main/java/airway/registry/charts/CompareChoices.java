package airway.registry.charts;

import airway.registry.charts.ChartPages.Choice;
import airway.registry.charts.ChartPages.Option;
import airway.registry.cohort.Stratum;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.springframework.util.MultiValueMap;

/** The choices that only a comparison has. */
final class CompareChoices {
    private CompareChoices() {}

    /**
     * Groups, what to allow for, and two kinds of cases.
     *
     * @param asked what was asked; groups that the form kept from other variables are taken out
     * @param by what groups can be made by
     */
    static List<Choice> of(MultiValueMap<String, String> asked, List<Option> by) {
        String chosen = String.join(",", Comparisons.values(asked, "by"));
        List<Stratum> variables = Comparisons.values(asked, "by").stream()
                .flatMap(name -> Stratum.named(name).stream())
                .toList();
        List<Option> ways = new ArrayList<>(by);
        if (variables.size() > 1) {
            ways.add(new Option(chosen, titles(variables)));
        }
        List<Choice> choices = new ArrayList<>();
        choices.add(new Choice("by", "Groups by", List.of(chosen.isEmpty() ? Comparisons.SETUP : chosen), ways));
        List<String> groups = Comparisons.values(asked, "groups");
        boolean fit = variables.isEmpty()
                ? groups.stream().noneMatch(code -> code.contains(CountQuery.AND))
                : groups.stream().allMatch(code -> Comparisons.fits(variables, code));
        if (!fit) {
            asked.remove("groups");
            groups = List.of();
        }
        if (!groups.isEmpty()) {
            choices.add(new Choice(
                    "groups",
                    "Which groups",
                    List.of(String.join(",", groups)),
                    List.of(new Option("", "all"), new Option(String.join(",", groups), groups.size() + " chosen"))));
        }
        choices.add(adjust(String.join(",", Comparisons.values(asked, "adjust"))));
        List<Option> halves = new ArrayList<>(List.of(new Option("", "no")));
        Arrays.stream(Half.values())
                .forEach(half -> halves.add(
                        new Option(half.stratum().variable(), half.stratum().title())));
        choices.add(new Choice("across", "Apart by", asked.getOrDefault("across", List.of()), halves));
        return choices;
    }

    private static Choice adjust(String chosen) {
        List<Option> options = new ArrayList<>(
                List.of(new Option("", "the usual three, where recorded"), new Option(Comparisons.NOTHING, "nothing")));
        for (Stratum stratum : Comparisons.USUAL) {
            options.add(new Option(stratum.variable(), stratum.title()));
        }
        options.add(new Option(
                Stratum.DIFFICULTY_PREDICTED.variable() + "," + Stratum.OPERATOR_EXPERIENCE.variable(),
                titles(List.of(Stratum.DIFFICULTY_PREDICTED, Stratum.OPERATOR_EXPERIENCE))));
        if (options.stream().noneMatch(option -> option.value().equals(chosen))) {
            options.add(new Option(
                    chosen,
                    titles(Arrays.stream(chosen.split(",", -1))
                            .flatMap(name -> Stratum.named(name).stream())
                            .toList())));
        }
        return new Choice("adjust", "Allow for", List.of(chosen), options);
    }

    private static String titles(List<Stratum> variables) {
        return String.join(" and ", variables.stream().map(Stratum::title).toList());
    }
}
