package airway.registry.charts;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.cohort.Measure;
import airway.registry.dictionary.Scheme;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.registry.web.AskedForm;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpHeaders;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.util.MultiValueMap;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.RequestHeader;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Measures, charts and comparisons over HTTP: JSON, SVG, PNG or CSV by the header Accept or the parameter format. */
@Needs(Right.READ_CHARTS)
@RestController
@RequestMapping("/api/v1")
class ChartApi {
    private static final MediaType SVG = MediaType.valueOf("image/svg+xml");
    private static final MediaType CSV = new MediaType("text", "csv", StandardCharsets.UTF_8);

    private static final List<MediaType> FORMS = List.of(MediaType.APPLICATION_JSON, SVG, CSV, MediaType.IMAGE_PNG);

    private final Charts charts;
    private final Comparisons comparisons;

    ChartApi(Charts charts, Comparisons comparisons) {
        this.charts = charts;
        this.comparisons = comparisons;
    }

    @Needs({})
    @GetMapping(path = "/measures", produces = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<byte[]> measures() {
        ArrayNode out = new JsonMapper().createArrayNode();
        for (Measure measure : Measure.values()) {
            ObjectNode told = out.addObject()
                    .put("measure", measure.id())
                    .put("title", measure.title())
                    .put("cases", measure.cases().many())
                    .put("shape", measure.shape().code())
                    .put("unit", measure.unit())
                    .put("definition", measure.definition())
                    .put("numerator", measure.numerator())
                    .put("denominator", measure.denominator())
                    .put("exclusions", measure.leftOut())
                    .put("window", measure.window())
                    .put("direction", measure.direction().code())
                    .put("published", measure.published())
                    .put("published_for", measure.publishedFor().isEmpty() ? null : measure.publishedFor())
                    .put("source", measure.source());
            ArrayNode fitting = told.putArray("charts");
            measure.charts().forEach(fitting::add);
            ArrayNode schemes = told.putArray("schemes");
            if (measure.bySeverity()) {
                for (Scheme scheme : Scheme.values()) {
                    ObjectNode node = schemes.addObject();
                    ChartJson.scheme(node, scheme);
                    node.put("default", scheme == Scheme.DEFAULT);
                }
            }
        }
        return answer(out.toString(), MediaType.APPLICATION_JSON);
    }

    @GetMapping("/charts/{measure}")
    ResponseEntity<byte[]> chart(
            @PathVariable String measure,
            @RequestParam MultiValueMap<String, String> parameters,
            @RequestHeader(name = HttpHeaders.ACCEPT, required = false) @Nullable String accept) {
        MediaType form = AskedForm.of(parameters.getFirst("format"), accept, FORMS);
        String kind = parameters.getFirst("chart");
        if (kind != null && (kind.equals(Proposal.STRIP) || kind.equals("cusum"))) {
            return oneByOne(charts.oneByOne(measure, parameters), kind, form);
        }
        if (!Question.first(parameters, "split", "").isEmpty()) {
            if (!form.equals(MediaType.APPLICATION_JSON)) {
                throw new Problem.Malformed(
                        Fault.parameter("split", "split.json", "Several charts are answered as JSON alone."));
            }
            return answer(ChartJson.of(charts.split(measure, parameters)).toString(), form);
        }
        return chart(charts.draw(measure, parameters), form);
    }

    /** A chart in the form asked for. */
    static ResponseEntity<byte[]> chart(Chart chart, @Nullable String format, @Nullable String accept) {
        return chart(chart, AskedForm.of(format, accept, FORMS));
    }

    private static ResponseEntity<byte[]> chart(Chart chart, MediaType form) {
        if (form.equals(CSV)) {
            return answer(Csv.of(chart), form);
        }
        return form.equals(MediaType.APPLICATION_JSON)
                ? answer(ChartJson.of(chart).toString(), form)
                : drawing(ChartSvg.draw(chart, ChartSvg.Size.WHOLE), form);
    }

    private static ResponseEntity<byte[]> oneByOne(OneByOne small, String kind, MediaType form) {
        if (form.equals(CSV)) {
            return answer(Csv.of(small), form);
        } else if (!form.equals(MediaType.APPLICATION_JSON)) {
            return drawing(
                    kind.equals(Proposal.STRIP)
                            ? StripSvg.cases(small, StripSvg.Size.DESKTOP)
                            : StripSvg.count(small, StripSvg.Size.DESKTOP),
                    form);
        }
        return answer(OneByOneJson.of(small).toString(), form);
    }

    @GetMapping("/comparisons/{measure}")
    ResponseEntity<byte[]> comparison(
            @PathVariable String measure,
            @RequestParam MultiValueMap<String, String> parameters,
            @RequestHeader(name = HttpHeaders.ACCEPT, required = false) @Nullable String accept) {
        MediaType form = AskedForm.of(parameters.getFirst("format"), accept, List.of(MediaType.APPLICATION_JSON, CSV));
        Comparison comparison = comparisons.compare(measure, parameters);
        return answer(
                form.equals(CSV)
                        ? Csv.of(comparison)
                        : ComparisonJson.of(comparison).toString(),
                form);
    }

    private static ResponseEntity<byte[]> drawing(String svg, MediaType form) {
        return form.equals(SVG) ? answer(svg, form) : answer(Png.of(svg), form);
    }

    private static ResponseEntity<byte[]> answer(String body, MediaType form) {
        return answer(body.getBytes(StandardCharsets.UTF_8), form);
    }

    private static ResponseEntity<byte[]> answer(byte[] body, MediaType form) {
        return ResponseEntity.ok()
                .contentType(form)
                .eTag('"' + digest(body) + '"')
                .body(body);
    }

    private static String digest(byte[] body) {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(body), 0, 12);
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException(e);
        }
    }
}
