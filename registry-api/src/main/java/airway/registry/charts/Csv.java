package airway.registry.charts;

import airway.registry.charts.Chart.Point;
import airway.registry.web.CsvField;
import airway.stats.Estimate;
import java.util.List;
import java.util.StringJoiner;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/** Numbers as CSV (RFC 4180). Every value is a number, a code of ours or a title in quotes; an empty field is "none". */
final class Csv {
    private static final String LIKE = "like_for_like";
    private static final String MODELLED = "modelled";

    private final StringBuilder out = new StringBuilder();

    private Csv() {}

    static String of(Chart chart) {
        Csv csv = new Csv();
        csv.row(List.of(
                "period",
                "x",
                "n",
                "left_out",
                "left_out_unknown",
                "value",
                "lower",
                "upper",
                "lcl",
                "ucl",
                "complete",
                "signals"));
        for (Point point : chart.points()) {
            csv.row(List.of(
                    point.period(),
                    chart.request().quantity().hasEvents()
                            ? number(point.counted().x())
                            : "",
                    number(point.counted().n()),
                    number(point.counted().leftOut()),
                    number(point.counted().unknown()),
                    point.value() == null ? "" : number(point.value()),
                    lower(point.estimate()),
                    upper(point.estimate()),
                    point.limits() == null ? "" : number(point.limits().lower()),
                    point.limits() == null ? "" : number(point.limits().upper()),
                    String.valueOf(point.complete()),
                    point.signals().stream().map(Chart.Rule::code).collect(Collectors.joining(" "))));
        }
        return csv.out.toString();
    }

    static String of(OneByOne small) {
        Csv csv = new Csv();
        csv.row(List.of("number", "period", "answer"));
        int number = 0;
        for (OneByOne.Case one : small.cases()) {
            Short answer = one.answer();
            csv.row(List.of(
                    number(++number),
                    one.month().toString(),
                    answer == null ? "left_out" : answer < 0 ? "unk" : answer == 1 ? "yes" : "no"));
        }
        return csv.out.toString();
    }

    /** Groups and pairs, first as recorded, then like for like and by the model where these are shown; a pair has no count. */
    static String of(Comparison comparison) {
        Csv csv = new Csv();
        csv.row(List.of(
                "code",
                "label",
                "x",
                "n",
                "left_out",
                "left_out_unknown",
                "value",
                "lower",
                "upper",
                "figure",
                "against",
                "method",
                "p",
                "p_adjusted"));
        for (Comparison.Group group : comparison.groups()) {
            csv.group(group, group.counted(), group.estimate(), "as_recorded", "prop.wilson");
        }
        comparison.pairs().forEach(pair -> csv.pair(pair, "as_recorded", "rd.newcombe"));
        Comparison.Alike alike = comparison.alike();
        if (alike != null) {
            csv.groups(
                    comparison,
                    alike.result().groups().stream()
                            .map(group -> group.standardised())
                            .toList(),
                    LIKE,
                    ComparisonJson.METHOD);
            alike.pairs().forEach(pair -> csv.pair(pair, LIKE, ComparisonJson.METHOD));
        }
        Comparison.Modelled modelled = comparison.modelled();
        if (modelled != null) {
            csv.groups(comparison, modelled.result().groups(), MODELLED, ComparisonJson.MODEL);
            modelled.pairs().forEach(pair -> csv.pair(pair, MODELLED, ComparisonJson.MODEL));
        }
        return csv.out.toString();
    }

    /** The counts stand with what was recorded alone: these figures rest on fewer cases. */
    private void groups(Comparison comparison, List<Estimate> estimates, String figure, String method) {
        for (int g = 0; g < estimates.size(); g++) {
            group(comparison.compared().get(g), null, estimates.get(g), figure, method);
        }
    }

    private void group(
            Comparison.Group group,
            @Nullable Counted counted,
            @Nullable Estimate estimate,
            String figure,
            String method) {
        row(List.of(
                group.code(),
                CsvField.quoted(group.label()),
                counted == null ? "" : number(counted.x()),
                counted == null ? "" : number(counted.n()),
                counted == null ? "" : number(counted.leftOut()),
                counted == null ? "" : number(counted.unknown()),
                value(estimate),
                lower(estimate),
                upper(estimate),
                figure,
                "",
                method,
                "",
                ""));
    }

    /** The first less the second. */
    private void pair(Comparison.Pair pair, String figure, String method) {
        row(List.of(
                pair.first().code(),
                CsvField.quoted(pair.first().label()),
                "",
                "",
                "",
                "",
                value(pair.difference()),
                lower(pair.difference()),
                upper(pair.difference()),
                figure,
                pair.second().code(),
                method,
                number(pair.p()),
                number(pair.adjusted())));
    }

    private void row(List<String> fields) {
        StringJoiner row = new StringJoiner(",", "", "\r\n");
        fields.forEach(row::add);
        out.append(row);
    }

    private static String number(long number) {
        return Long.toString(number);
    }

    private static String number(double number) {
        return Double.toString(number);
    }

    private static String value(@Nullable Estimate estimate) {
        return estimate == null ? "" : number(estimate.value());
    }

    private static String lower(@Nullable Estimate estimate) {
        return estimate == null ? "" : number(estimate.lower());
    }

    private static String upper(@Nullable Estimate estimate) {
        return estimate == null || Double.isInfinite(estimate.upper()) ? "" : number(estimate.upper());
    }
}
