package airway.registry.charts;

import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Writes a version of a kept average as JSON. */
final class KeptAverageJson {
    private static final JsonMapper JSON = new JsonMapper();
    private static final DateTimeFormatter INSTANT =
            DateTimeFormatter.ofPattern("yyyy-MM-dd'T'HH:mm:ssxxx", Locale.ROOT);

    private KeptAverageJson() {}

    static ObjectNode of(KeptAverage kept) {
        ChartRequest about = kept.about();
        ObjectNode out = JSON.createObjectNode()
                .put("kept_id", kept.id().toString())
                .put("version", kept.version())
                .put("status", kept.status())
                .put("site_id", kept.site().code())
                .put("measure", about.measure().id())
                .put("scheme", about.scheme() == null ? null : about.scheme().name())
                .put("by", about.span());
        ObjectNode filters = out.putObject("filters");
        KeptAverage.filters(about).forEach((name, codes) -> {
            ArrayNode values = filters.putArray(name);
            codes.forEach(values::add);
        });
        out.put("from", kept.from().toString())
                .put("to", kept.to().toString())
                .put("reason", kept.reason())
                .put(
                        "written_at",
                        INSTANT.format(kept.writtenAt().atZone(kept.site().zone())));
        Counted total = kept.total();
        if (about.quantity().isMedian()) {
            out.putNull("x");
        } else {
            out.put("x", total.x());
        }
        out.put("n", total.n());
        ArrayNode points = out.putArray("points");
        kept.points()
                .forEach(point -> points.addObject()
                        .put("period", point.period())
                        .put(
                                "x",
                                about.quantity().isMedian()
                                        ? null
                                        : (Long) point.counted().x())
                        .put("n", point.counted().n())
                        .put("value", point.value()));
        return out;
    }

    static ArrayNode of(List<KeptAverage> all) {
        ArrayNode out = JSON.createArrayNode();
        all.forEach(kept -> out.add(of(kept)));
        return out;
    }
}
