package airway.registry.quality;

import airway.registry.access.Site;
import airway.registry.dictionary.Layer;
import java.time.YearMonth;
import java.time.temporal.ChronoUnit;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import org.jooq.DSLContext;

/**
 * How complete the data of a unit and period are, for other rooms that print it.
 *
 * @param records of the period
 * @param first answers of the first layer that were given
 * @param known of those given or not, answered with something other than "not known"
 * @param details answers of the further questions that were given
 * @param captured of the intubations on lists of other sources, those found here
 * @param besideCount records of the months that have only a count of another source, and that count
 * @param monthsListed months with a list
 * @param monthsCounted months with only a count
 * @param monthsUnknown months with neither: how many intubations there were is not known
 */
public record Completeness(
        long records,
        Part first,
        Part known,
        Part details,
        Part captured,
        Part besideCount,
        int monthsListed,
        int monthsCounted,
        int monthsUnknown) {
    /** So many of so many; where both are counted apart, the first may be the larger. */
    public record Part(long x, long n) {}

    /** Inside a running transaction. */
    public static Completeness of(DSLContext dsl, Site site, YearMonth from, YearMonth to) {
        QualityQuery query = new QualityQuery(dsl, site, from, to);
        List<Question> questions =
                query.questions().values().stream().flatMap(List::stream).toList();
        Map<YearMonth, Capture> captures = query.captures();
        Ratio ratio = captures.values().stream().map(Capture::ratio).reduce(Ratio.NOTHING, Ratio::plus);
        int listed = (int) captures.values().stream().filter(Capture::byList).count();
        int months = (int) from.until(to, ChronoUnit.MONTHS) + 1;
        return new Completeness(
                query.entered().values().stream()
                        .mapToLong(QualityQuery.Entered::records)
                        .sum(),
                part(questions, Layer.FIRST, Question::answered),
                part(questions, Layer.FIRST, Question::knownShare),
                part(questions, Layer.DETAIL, Question::answered),
                part(captures.values().stream().map(Capture::share).toList()),
                new Part(ratio.records(), ratio.counted()),
                listed,
                captures.size() - listed,
                months - captures.size());
    }

    private static Part part(List<Question> questions, Layer layer, Function<Question, Share> share) {
        return part(questions.stream()
                .filter(question -> question.layer() == layer)
                .map(share)
                .toList());
    }

    private static Part part(Collection<Share> shares) {
        Share all = shares.stream().reduce(Share.NOTHING, Share::plus);
        return new Part(all.x(), all.n());
    }
}
