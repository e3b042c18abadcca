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
                    chart.request().quantity().isMedian()
                            ? ""
                            : number(point.counted().x()),
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

    static String of(Comparison comparison) {
        Csv csv = new Csv();
        csv.row(List.of("code", "label", "x", "n", "left_out", "left_out_unknown", "value", "lower", "upper"));
        for (Comparison.Group group : comparison.groups()) {
            csv.row(List.of(
                    group.code(),
                    CsvField.quoted(group.label()),
                    number(group.counted().x()),
                    number(group.counted().n()),
                    number(group.counted().leftOut()),
                    number(group.counted().unknown()),
                    value(group.estimate()),
                    lower(group.estimate()),
                    upper(group.estimate())));
        }
        return csv.out.toString();
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
        return estimate == null ? "" : number(estimate.upper());
    }
}
