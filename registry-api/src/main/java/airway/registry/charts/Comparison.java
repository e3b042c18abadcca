package airway.registry.charts;

import airway.registry.cohort.Cohort;
import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Scheme;
import airway.stats.Caution;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.interval.MissingBounds;
import airway.stats.regression.StandardisedGroups;
import airway.stats.strata.BreslowDay;
import airway.stats.strata.LikeForLike;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;

/**
 * Groups of encounters beside each other, as recorded and like for like.
 *
 * @param scheme the scheme of severity that decides; null where none does
 * @param by variable that makes the groups; several with commas between
 * @param groups all groups
 * @param compared those that are compared; empty when refused
 * @param pairs every two of these, as recorded
 * @param alike the same like for like; null when nothing is to be allowed for or it is refused
 * @param refused why something was not compared; null when nothing was refused
 * @param modelled like for like by a model; null when nothing is to be allowed for or it is refused
 * @param unmodelled why there is no such comparison; null when nothing was refused
 * @param wary what a reader has to know of who got which group
 * @param halves the same pair in two kinds of cases; null when not asked for or with too few
 */
record Comparison(
        Measure measure,
        @Nullable Scheme scheme,
        String by,
        String title,
        Cohort cohort,
        List<Group> groups,
        List<Group> compared,
        List<Pair> pairs,
        @Nullable Alike alike,
        @Nullable Refusal refused,
        @Nullable Modelled modelled,
        @Nullable Refusal unmodelled,
        Wary wary,
        @Nullable Halves halves) {
    /** First attempts that a group needs to be compared. Source: the registry's table of minimum numbers. */
    static final int FEWEST = 20;

    /** Encounters with the outcome, and without it, that a comparison needs. Source: the statistical methods, section 2. */
    static final int FEWEST_OUTCOMES = 5;

    /** More groups make more pairs than anybody can read; our own decision. */
    static final int MOST_GROUPS = 12;

    /** One group; the estimate is null without a case. */
    record Group(
            String code,
            String label,
            Counted counted,
            @Nullable Estimate estimate) {
        /** A group of those who did not answer is shown and never compared. */
        boolean comparable() {
            return counted.n() >= FEWEST && !List.of(code.split("\\.", -1)).contains(Stratum.BLANK.value());
        }

        /** How far the share could lie either way for what is missing; null where that is little. */
        @Nullable
        MissingBounds missing() {
            return counted.n() + counted.unknown() > 0 && bounds().high() ? bounds() : null;
        }

        /** The same however little is missing; not without a case. */
        MissingBounds bounds() {
            return MissingBounds.of(Comparing.proportion(counted), counted.unknown());
        }

        boolean countsOnly() {
            return counted.n() < Percent.FEWEST;
        }
    }

    /**
     * Two groups compared.
     *
     * @param difference first less second, by Newcombe's interval as recorded and by MOVER like for like
     * @param p two-sided; as recorded that of Fisher's exact test
     * @param adjusted the same by Holm over all pairs
     */
    record Pair(Group first, Group second, Estimate difference, double p, double adjusted) {
        /** The smallest the difference could be for outcomes that nobody wrote down. */
        double least() {
            return first.bounds().least() - second.bounds().most();
        }

        /** The largest. */
        double most() {
            return first.bounds().most() - second.bounds().least();
        }

        /** Whether the difference is still there once the number of pairs is allowed for. */
        boolean stands() {
            return adjusted < Confidence.DEFAULT.alpha();
        }
    }

    /**
     * The groups in the same mix of cases.
     *
     * @param allowedFor the variables
     * @param passedOver usual variables that too few records answer, with the number of cases that do
     * @param layers every stratum that has a case
     * @param cases cases of the compared groups
     * @param unanswered cases that lack an answer to at least one variable, and so are in no stratum
     * @param unansweredOf the same for each variable
     * @param result of the statistics
     * @param pairs every two groups
     */
    record Alike(
            List<Stratum> allowedFor,
            Map<Stratum, Long> passedOver,
            List<Layer> layers,
            long cases,
            long unanswered,
            Map<Stratum, Long> unansweredOf,
            LikeForLike result,
            List<Pair> pairs) {
        boolean reversal() {
            return result.pairs().stream().anyMatch(LikeForLike.Pair::reversal);
        }

        /** Whether the odds ratio of two groups, by their places, differs between strata: one number then says too little. */
        boolean uneven(int first, int second) {
            return BreslowDay.of(layers.stream()
                            .map(layer -> new airway.stats.strata.Stratum(
                                    Comparing.proportion(layer.groups().get(first)),
                                    Comparing.proportion(layer.groups().get(second))))
                            .toList())
                    .fold(ok -> ok.cautions().contains(Caution.HETEROGENEOUS), refused -> false);
        }

        /** The pairs for which that is so. */
        List<Pair> unevenPairs() {
            return IntStream.range(0, pairs.size())
                    .filter(i -> uneven(
                            result.pairs().get(i).first() - 1,
                            result.pairs().get(i).second() - 1))
                    .mapToObj(pairs::get)
                    .toList();
        }

        /** Whether so many cases lack an answer that they belong beside the figures. */
        boolean muchUnanswered() {
            return unanswered > MissingBounds.HIGH * cases;
        }

        /** Cases in strata that some group has none in. */
        long withoutMatch() {
            return layers.stream()
                    .filter(layer -> !layer.used())
                    .mapToLong(Layer::cases)
                    .sum();
        }

        /** Cases that the figures rest on. */
        long used() {
            return cases - unanswered - withoutMatch();
        }
    }

    /**
     * The groups by a model that allows for everything at once.
     *
     * @param parameters covariates of the model: memberships of groups and answers
     * @param operators people known to have held the laryngoscope
     * @param fewOperators whether they are so few that the intervals tend to be too narrow
     * @param n first attempts it rests on
     * @param cases of the compared groups
     * @param unanswered of these, without an answer to at least one variable
     * @param unknownHands of these, answered but without a known operator
     * @param filledIn of those it rests on, of a kind that some group has none of
     */
    record Modelled(
            List<Stratum> allowedFor,
            int parameters,
            int operators,
            boolean fewOperators,
            long n,
            long cases,
            long unanswered,
            long unknownHands,
            long filledIn,
            StandardisedGroups result,
            List<Pair> pairs) {}

    /**
     * A stratum.
     *
     * @param codes the answers that make it
     * @param label the same in words
     * @param groups counts of each compared group
     * @param used whether every group has cases here
     */
    record Layer(List<String> codes, String label, List<Counted> groups, boolean used) {
        long cases() {
            return groups.stream().mapToLong(Counted::n).sum();
        }
    }

    /**
     * Why there is no comparison, or none like for like.
     *
     * @param reason its code
     * @param needed the number that was missed, or null
     * @param text what is needed, in words
     */
    record Refusal(String reason, @Nullable Integer needed, String text) {}

    /**
     * What may lie behind a difference.
     *
     * @param shares how often each compared group met what makes an airway harder, among the cases where that is known
     * @param late cases whose expectation was written down afterwards
     * @param withoutLate the pairs like for like without these; empty when they cannot be compared so or there are none
     * @param hands who held the laryngoscope; null where fewer than five people are known
     */
    record Wary(
            List<Share> shares,
            long late,
            List<Pair> withoutLate,
            @Nullable Hands hands) {
        static final Wary NOTHING = new Wary(List.of(), 0, List.of(), null);
    }

    /** Of the cases of a group, those with an answer, and of these the ones with a certain answer. */
    record Share(String what, Group group, Counted counted) {}

    /**
     * Whether one person makes the difference. People are told apart here and nowhere shown.
     *
     * @param people those known to have held the laryngoscope
     * @param known cases of each compared group in which that is known
     * @param most of these, the cases of the one with the most
     * @param smallest of each pair, the smallest difference when one person's cases are left out
     * @param largest the largest such difference
     */
    record Hands(int people, List<Long> known, List<Long> most, List<Double> smallest, List<Double> largest) {}

    /** The difference of a pair in two kinds of cases, and how these two differ. */
    record Halves(
            Group a,
            Group b,
            String first,
            String second,
            Counted firstA,
            Counted firstB,
            Counted secondA,
            Counted secondB,
            Estimate inFirst,
            Estimate inSecond,
            Estimate between) {}

    /** Whether more than a tenth of the outcomes of a group, or of the answers that like for like rests on, is missing. */
    boolean muchMissing() {
        return groups.stream().anyMatch(group -> group.missing() != null) || (alike != null && alike.muchUnanswered());
    }

    boolean comparable() {
        return !pairs.isEmpty();
    }

    /** Dates do not matter here, but the reader is told where records have made-up ones. */
    boolean nominal() {
        return groups.stream().anyMatch(group -> group.counted().nominal() > 0);
    }
}
