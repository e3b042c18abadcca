package airway.registry.charts;

import static airway.registry.web.ApiDocument.answer;
import static airway.registry.web.ApiDocument.header;
import static airway.registry.web.ApiDocument.list;
import static airway.registry.web.ApiDocument.object;
import static airway.registry.web.ApiDocument.parameter;
import static airway.registry.web.ApiDocument.ref;

import airway.registry.cohort.Measure;
import airway.registry.cohort.Stratum;
import airway.registry.dictionary.Code;
import airway.registry.dictionary.Scheme;
import airway.registry.web.ApiDocument;
import airway.registry.web.ApiPart;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The measures, charts and comparisons of the API, described for programs. */
@Component
@Order(2)
class ChartDescription implements ApiPart {
    private static final String PERIOD = "^(19|20)[0-9]{2}(-(0[1-9]|1[0-2])|-Q[1-4])?$";

    @Override
    public void describe(ApiDocument document) {
        schemas(document);
        answer(
                document.operation("get", "/api/v1/measures", "listMeasures", "List the measures"),
                200,
                "Definitions and sources.",
                list(ref("Measure")));

        ObjectNode chart =
                document.operation("get", "/api/v1/charts/{measure}", "drawChart", "A measure over time", 406);
        measures(chart, List.of(Measure.values()));
        parameter(
                chart,
                "query",
                "chart",
                false,
                one(Arrays.stream(ChartKind.values()).map(ChartKind::id).toList()),
                "Which of these fit depends on the measure: of a proportion p and p_prime have limits, of a rate u,"
                        + " u_prime and, in groups of equal size (by n:25), c; run has a median, xmr treats points as single values; g and t show what lies between"
                        + " two unwanted outcomes.");
        parameter(
                chart,
                "query",
                "average",
                false,
                one(Arrays.stream(Average.values()).map(Average::id).toList()),
                "What a change that cuts the chart does to the average. Left out: the average that the unit keeps for this"
                        + " chart, where there is one, else each.");
        parameter(
                chart,
                "query",
                "split",
                false,
                one(Stream.concat(Arrays.stream(Stratum.values()).map(Stratum::variable), Stream.of(Panels.UNITS))
                        .toList()),
                "Draws one chart for each code of a variable, or for each unit: the answer is an object with panels, each with code, label and"
                        + " chart, and a note where there is one group only; JSON alone.");
        parameter(
                chart,
                "query",
                "by",
                false,
                object().put("type", "string").put("pattern", "^(month|quarter|year|n:[1-9][0-9]{0,3})$"),
                "What one point stands for; n:25 is 25 encounters.");
        cohort(chart, List.of("json", "csv", "svg", "png"));
        ObjectNode drawn =
                answer(chart, 200, "Fractions run from 0 to 1; saturations are in %, times in s or d.", ref("Chart"));
        text(drawn, "text/csv");
        text(drawn, "image/svg+xml");
        drawn.withObjectProperty("content").putObject("image/png");
        header(drawn, "ETag", "Changes when a number changes");

        ObjectNode ofKit = document.operation(
                "get",
                "/api/v1/kit/measures/{measure}",
                "drawKitMeasure",
                "A measure of the kit over time, for those who keep it: as drawChart, without filters",
                406);
        measures(ofKit, Measure.aboutKit());
        for (JsonNode told : chart.path("parameters")) {
            if (told.path("in").asString().equals("query")
                    && Question.OF_KIT.contains(told.path("name").asString())) {
                ofKit.withArrayProperty("parameters").add(told.deepCopy());
            }
        }
        ofKit.withObjectProperty("responses")
                .set("200", chart.path("responses").path("200").deepCopy());

        ObjectNode comparison = document.operation(
                "get",
                "/api/v1/comparisons/{measure}",
                "compareGroups",
                "A measure by groups, as recorded and like for like",
                406);
        measures(comparison, Measure.proportions());
        parameter(
                comparison,
                "query",
                "by",
                false,
                one(Stream.concat(
                                Stream.of(Comparisons.SETUP),
                                Arrays.stream(Stratum.values()).map(Stratum::variable))
                        .toList()),
                "What makes the groups; repeated, or with commas between, several variables together.");
        parameter(
                comparison,
                "query",
                "groups",
                false,
                object().put("type", "string"),
                "Codes, with commas between; those of several variables joined by a full stop.");
        parameter(
                comparison,
                "query",
                "adjust",
                false,
                object().put("type", "string"),
                "Variables to allow for, with commas between, or none. Left out: difficulty_predicted, age_band and"
                        + " operator_experience, each where at least half of the cases answer it.");
        parameter(
                comparison,
                "query",
                "across",
                false,
                one(Arrays.stream(Half.values())
                        .map(half -> half.stratum().variable())
                        .toList()),
                "Tells whether the difference of two groups is the same in two kinds of cases.");
        cohort(comparison, List.of("json", "csv"));
        ObjectNode compared = answer(comparison, 200, "Fractions run from 0 to 1.", ref("Comparison"));
        text(compared, "text/csv");
        header(compared, "ETag", "Changes when a number changes");
        learning(document);
    }

    private static void learning(ApiDocument document) {
        ObjectNode bands = document.operation(
                "get", "/api/v1/learning", "learnInBands", "First attempts by what kind of people made them");
        learned(bands);
        answer(
                bands,
                200,
                "A band of fewer than five people, or with four fifths from one, is told as hidden, without a number.",
                ref("Bands"));
        ObjectNode own = document.operation(
                "get",
                "/api/v1/learning/me",
                "learnForOneself",
                "One's own first attempts, for the one who asks alone; those of another person have no address");
        learned(own);
        answer(own, 200, "Fractions run from 0 to 1.", ref("OwnCurve"));
    }

    private static void learned(ObjectNode operation) {
        parameter(operation, "query", "measure", false, one(ids(Learning.MEASURES)), "Left out: fps.");
        for (String level : List.of("acceptable", "unacceptable")) {
            parameter(
                    operation,
                    "query",
                    level,
                    false,
                    object().put("type", "number").put("minimum", 0.01).put("maximum", 0.9),
                    "Share of first attempts that fail at the level "
                            + (level.equals("acceptable")
                                    ? "aimed for; left out 0.3."
                                    : "that is not enough; left out 0.5."));
        }
        filters(operation);
    }

    private static void measures(ObjectNode operation, List<Measure> measures) {
        ((ObjectNode) operation.path("parameters").path(0)).set("schema", one(ids(measures)));
    }

    private static List<String> ids(List<Measure> measures) {
        return measures.stream().map(Measure::id).toList();
    }

    private static void nullable(ObjectNode properties, String name, String description) {
        properties
                .putObject(name)
                .put("description", description)
                .putArray("type")
                .add("string")
                .add("null");
    }

    private static void cohort(ObjectNode operation, List<String> formats) {
        parameter(
                operation,
                "query",
                "scheme",
                false,
                one(Arrays.stream(Scheme.values()).map(Scheme::name).toList()),
                "The scheme of severity, where one decides.");
        parameter(operation, "query", "format", false, one(formats), "Instead of the header Accept.");
        filters(operation);
    }

    private static void filters(ObjectNode operation) {
        ObjectNode period = object().put("type", "string").put("pattern", PERIOD);
        parameter(operation, "query", "from", false, period, "First month, quarter or year, inclusive.");
        parameter(operation, "query", "to", false, period.deepCopy(), "The last one, inclusive.");
        parameter(operation, "query", "site_id", false, list(object().put("type", "string")), "Units; all of yours.");
        parameter(operation, "query", Comparisons.SETUP, false, list(object().put("type", "string")), "Set-ups.");
        for (Stratum stratum : Stratum.values()) {
            parameter(
                    operation,
                    "query",
                    stratum.variable(),
                    false,
                    list(one(stratum.codes().stream().map(Code::value).toList())),
                    stratum.title());
        }
    }

    private static ObjectNode one(List<String> codes) {
        ObjectNode schema = object();
        ArrayNode values = schema.putArray("enum");
        codes.forEach(values::add);
        return schema;
    }

    private static void text(ObjectNode response, String type) {
        response.withObjectProperty("content")
                .putObject(type)
                .putObject("schema")
                .put("type", "string");
    }

    private static void schemas(ApiDocument document) {
        ObjectNode measure = document.schema("Measure");
        measure.put("type", "object");
        ObjectNode catalogue = measure.putObject("properties");
        catalogue.set("measure", one(ids(List.of(Measure.values()))));
        for (String told :
                List.of("title", "cases", "definition", "numerator", "denominator", "exclusions", "source")) {
            catalogue.putObject(told).put("type", "string");
        }
        catalogue.set(
                "shape",
                one(Arrays.stream(Measure.Shape.values())
                        .map(Measure.Shape::code)
                        .toList()));
        catalogue
                .putObject("unit")
                .put("type", "string")
                .put("description", "Of the values; 1 is a fraction from 0 to 1.");
        nullable(catalogue, "window", "The stretch of time that the answers are about.");
        catalogue.set(
                "direction",
                one(Arrays.stream(Measure.Direction.values())
                        .map(Measure.Direction::code)
                        .toList()));
        catalogue
                .putObject("published")
                .put("type", "string")
                .put("description", "Published figures with population and year; for orientation, no targets.");
        nullable(catalogue, "published_for", "Kind of unit whose patients these figures are about.");
        catalogue.set(
                "charts",
                list(object().put("type", "string")).put("description", "Charts that fit it, the fittest first."));
        catalogue.set("schemes", list(object().put("type", "object")));

        ObjectNode counted = document.schema("Counted");
        counted.put("type", "object")
                .put(
                        "description",
                        "A proportion with its 95% Wilson interval, a rate with its exact one, or the median of values;"
                                + " null where there is none. Values have no x.");
        ObjectNode numbers = counted.putObject("properties");
        numbers.putObject("x").put("minimum", 0).putArray("type").add("integer").add("null");
        for (String count : List.of("n", "left_out", "left_out_unknown")) {
            numbers.putObject(count).put("type", "integer").put("minimum", 0);
        }
        fractions(numbers, "value", "lower", "upper");

        ObjectNode chart = document.schema("Chart");
        chart.putArray("allOf").add(ref("Counted"));
        ObjectNode properties = told(chart);
        fractions(properties, "centre");
        ObjectNode point = object();
        point.putArray("allOf").add(ref("Counted"));
        ObjectNode of = point.putObject("properties");
        of.putObject("period").put("type", "string");
        fractions(of, "lcl", "ucl");
        of.putObject("complete").put("type", "boolean");
        ObjectNode rules =
                one(Arrays.stream(Chart.Rule.values()).map(Chart.Rule::code).toList());
        of.set("signals", list(rules));
        properties.set("points", list(point));
        ObjectNode phase = object();
        phase.putArray("allOf").add(ref("Counted"));
        ObjectNode stretch = phase.putObject("properties");
        nullable(stretch, "from", "Its first point.");
        nullable(stretch, "to", "Its last point.");
        fractions(stretch, "centre");
        stretch.putObject("kept").put("type", "boolean").put("description", "Whether the centre is that of before.");
        properties.set("phases", list(phase));
        ObjectNode gap = properties.putObject("gap");
        gap.put("description", "How far the last phase lies from the first; null with one phase, or too few cases.")
                .putArray("type")
                .add("object")
                .add("null");
        ObjectNode parts = gap.putObject("properties");
        parts.set(
                "of",
                one(Arrays.stream(PhaseGap.Scale.values())
                        .map(PhaseGap.Scale::code)
                        .toList()));
        fractions(parts, "value", "lower", "upper");
        properties.set(
                "average", one(Arrays.stream(Average.values()).map(Average::id).toList()));
        ObjectNode kept = properties.putObject("kept_average");
        kept.put(
                        "description",
                        "The average that the unit keeps for this chart, as KeptAverage, with its centre, with value,"
                                + " lower and upper of its points together, and with since: how many of its records were changed, added, or are gone, and n and centre were it"
                                + " taken today; null where none is drawn.")
                .putArray("type")
                .add("object")
                .add("null");
        ObjectNode signal = object();
        signal.putObject("properties").set("rule", rules.deepCopy());
        properties.set("signals", list(signal));

        learned(document);

        ObjectNode comparison = document.schema("Comparison");
        ObjectNode group = object();
        group.putArray("allOf").add(ref("Counted"));
        ObjectNode own = group.putObject("properties");
        own.putObject("code").put("type", "string");
        ObjectNode missing = own.putObject("missing");
        missing.put(
                "description",
                "The share had none, or all, of the unknown outcomes been yes; null up to a tenth unknown.");
        missing.putArray("type").add("object").add("null");
        fractions(missing.putObject("properties"), "least", "most");
        compared(told(comparison), group);
    }

    private static void learned(ApiDocument document) {
        ObjectNode own = document.schema("OwnCurve");
        own.putArray("allOf").add(ref("Counted"));
        ObjectNode parts = told(own);
        parts.set("setups", list(object()));
        parts.set("cases", list(object()));
        parts.set("run", ref("Chart"));
        ObjectNode curve = parts.putObject("lc_cusum");
        curve.put("type", "object");
        ObjectNode of = curve.putObject("properties");
        of.set(
                "status",
                one(Arrays.stream(OwnCurve.Verdict.values())
                        .map(verdict -> verdict.name().toLowerCase(Locale.ROOT))
                        .toList()));
        of.putObject("shown_at")
                .put("description", "Number of the case at which the path reached its limit; null under 20 cases.")
                .putArray("type")
                .add("integer")
                .add("null");
        fractions(of, "acceptable", "unacceptable", "limit", "cases_needed", "false_chance");
        of.putObject("false_within").put("type", "integer");
        ObjectNode path = list(object());
        path.putObject("items").putArray("type").add("number").add("null");
        of.set("path", path);
        of.putObject("text").put("type", "string");

        ObjectNode bands = document.schema("Bands");
        ObjectNode by = told(bands);
        by.putObject("fewest_people").put("type", "integer");
        by.putObject("by").put("type", "object");
    }

    private static void compared(ObjectNode parts, ObjectNode group) {
        parts.set("groups", list(group));
        ObjectNode pair = object();
        ObjectNode numbers = pair.putObject("properties");
        for (String text : List.of("a", "b", "method")) {
            numbers.putObject(text).put("type", "string");
        }
        fractions(numbers, "difference", "lower", "upper", "p", "p_adjusted");
        parts.set("pairs", list(pair));
        ObjectNode like = parts.putObject("like_for_like");
        like.put(
                        "description",
                        "The same with each group in the same mix of cases; null where not asked for or refused.")
                .putArray("type")
                .add("object")
                .add("null");
        ObjectNode of = like.putObject("properties");
        of.putObject("method").put("type", "string");
        of.set("allowed_for", list(object().put("type", "string")));
        of.putObject("n").put("type", "integer").put("description", "First attempts it rests on.");
        of.putObject("left_out").put("type", "object");
        of.set("groups", list(group.deepCopy()));
        of.set("pairs", list(pair.deepCopy()));
        of.set("strata", list(object()));
        of.putObject("reversal").put("type", "boolean");
        ObjectNode modelled = parts.putObject("modelled");
        modelled.put(
                        "description",
                        "Like for like by a logistic model with errors that allow for operators; null where not asked for or"
                                + " refused.")
                .putArray("type")
                .add("object")
                .add("null");
        ObjectNode by = modelled.putObject("properties");
        by.putObject("method").put("type", "string");
        by.set("allowed_for", list(object().put("type", "string")));
        for (String number : List.of("parameters", "operators", "n", "filled_in")) {
            by.putObject(number).put("type", "integer");
        }
        by.putObject("left_out").put("type", "object");
        by.set("groups", list(group.deepCopy()));
        by.set("pairs", list(pair.deepCopy()));
        by.set("cautions", list(object().put("type", "string")));
        for (String name : List.of("refused", "modelled_refused")) {
            ObjectNode refused = parts.putObject(name);
            refused.putArray("type").add("object").add("null");
            ObjectNode why = refused.putObject("properties");
            why.putObject("reason").put("type", "string");
            why.putObject("needed").putArray("type").add("integer").add("null");
            why.putObject("text").put("type", "string");
        }
        parts.putObject("across").putArray("type").add("object").add("null");
    }

    private static ObjectNode told(ObjectNode schema) {
        schema.put("type", "object");
        ObjectNode properties = schema.putObject("properties");
        properties.putObject("measure").put("type", "string");
        properties.putObject("definition").put("type", "string");
        nullable(properties, "window", "The stretch of time that the answers are about.");
        ObjectNode scheme = properties.putObject("scheme");
        scheme.putArray("type").add("object").add("null");
        ObjectNode parts = scheme.putObject("properties");
        parts.putObject("name").put("type", "string");
        parts.putObject("version").put("type", "integer");
        parts.putObject("source").put("type", "string");
        return properties;
    }

    private static void fractions(ObjectNode properties, String... names) {
        for (String name : names) {
            properties.putObject(name).putArray("type").add("number").add("null");
        }
    }
}
