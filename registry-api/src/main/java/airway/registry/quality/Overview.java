package airway.registry.quality;

import airway.registry.cohort.Measure;
import airway.registry.dictionary.Layer;
import java.time.YearMonth;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * What there is to know about the data of a unit and period.
 *
 * @param months every month of the period, one without records too
 * @param questions over the whole period, the emptiest first; without those that are filled in when left blank
 */
record Overview(
        YearMonth from,
        YearMonth to,
        List<Month> months,
        List<Question> questions,
        Found missing,
        Found unlikely,
        Found confirmed,
        Found duplicates,
        Found contradictions) {

    /**
     * One month.
     *
     * @param questions what came of each
     * @param leftOut by measure
     * @param capture null without an independent count
     */
    record Month(
            YearMonth month,
            QualityQuery.Entered entered,
            List<Question> questions,
            Map<Measure, QualityQuery.LeftOut> leftOut,
            @Nullable Capture capture,
            int unlikely,
            int duplicates,
            int contradictions) {
        QualityQuery.LeftOut leftOut(Measure measure) {
            return leftOut.getOrDefault(measure, QualityQuery.LeftOut.NOTHING);
        }

        Share answered(Layer layer) {
            return questions.stream()
                    .filter(question -> question.layer() == layer)
                    .map(Question::answered)
                    .reduce(Share.NOTHING, Share::plus);
        }

        Share known(Layer layer) {
            return questions.stream()
                    .filter(question -> question.layer() == layer)
                    .map(Question::knownShare)
                    .reduce(Share.NOTHING, Share::plus);
        }
    }

    /** Everything about the period, read at one moment. */
    static Overview read(QualityQuery query, YearMonth from, YearMonth to) {
        Map<YearMonth, List<Question>> questions = query.questions();
        Map<YearMonth, QualityQuery.Entered> entered = query.entered();
        Map<YearMonth, Map<Measure, QualityQuery.LeftOut>> leftOut = query.leftOut();
        Map<YearMonth, Capture> captures = query.captures();
        Map<YearMonth, Integer> unlikely = query.unlikelyByMonth();
        Map<YearMonth, Integer> duplicates = query.duplicatesByMonth();
        Map<YearMonth, Integer> contradictions = query.contradictionsByMonth();
        List<Month> months = new ArrayList<>();
        for (YearMonth month = from; !month.isAfter(to); month = month.plusMonths(1)) {
            months.add(new Month(
                    month,
                    entered.getOrDefault(month, QualityQuery.Entered.NOTHING),
                    questions.getOrDefault(month, List.of()),
                    leftOut.getOrDefault(month, Map.of()),
                    captures.get(month),
                    unlikely.getOrDefault(month, 0),
                    duplicates.getOrDefault(month, 0),
                    contradictions.getOrDefault(month, 0)));
        }
        return new Overview(
                from,
                to,
                months,
                together(questions),
                query.missing(),
                query.unlikely(),
                query.confirmed(),
                query.duplicates(),
                query.contradictions());
    }

    private static List<Question> together(Map<YearMonth, List<Question>> months) {
        Map<String, Question> together = new LinkedHashMap<>();
        months.values()
                .forEach(month ->
                        month.forEach(question -> together.merge(question.variable(), question, Question::plus)));
        return together.values().stream()
                .filter(question -> !question.filledIn())
                .sorted(Comparator.comparingDouble((Question question) -> -(double) question.blank() / question.asked())
                        .thenComparing(Question::asked, Comparator.reverseOrder())
                        .thenComparing(Question::variable))
                .toList();
    }

    QualityQuery.Entered entered() {
        return months.stream().map(Month::entered).reduce(QualityQuery.Entered.NOTHING, QualityQuery.Entered::plus);
    }

    Share answered(Layer layer) {
        return months.stream().map(month -> month.answered(layer)).reduce(Share.NOTHING, Share::plus);
    }

    Share known(Layer layer) {
        return months.stream().map(month -> month.known(layer)).reduce(Share.NOTHING, Share::plus);
    }

    /** Of the months with a list: how many of its entries are recorded. */
    Share captured() {
        return captures().map(Capture::share).reduce(Share.NOTHING, Share::plus);
    }

    /** Of the months with a count only: the records beside it. */
    Ratio besideCount() {
        return captures().map(Capture::ratio).reduce(Ratio.NOTHING, Ratio::plus);
    }

    private Stream<Capture> captures() {
        return months.stream().map(Month::capture).filter(Objects::nonNull);
    }

    long withoutCount() {
        return months.stream().filter(month -> month.capture() == null).count();
    }

    long overCounted() {
        return captures().filter(Capture::over).count();
    }

    /** What a measure leaves out of the whole period. */
    QualityQuery.LeftOut leftOut(Measure measure) {
        return months.stream()
                .map(month -> month.leftOut(measure))
                .reduce(QualityQuery.LeftOut.NOTHING, QualityQuery.LeftOut::plus);
    }

    /** Questions that are mostly left blank. */
    List<Question> toDrop() {
        return questions.stream().filter(Question::emptyMostly).toList();
    }
}
