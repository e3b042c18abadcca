package airway.registry.release;

import airway.registry.dictionary.Scheme;
import airway.registry.web.CsvField;
import airway.stats.Confidence;
import airway.stats.Estimate;
import airway.stats.Proportion;
import airway.stats.interval.ProportionInterval;
import java.util.List;
import java.util.StringJoiner;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Writes a table as JSON and as CSV (RFC 4180). What is hidden is null in JSON and S in CSV. */
final class TableJson {
    /** Stands for a number that is hidden. */
    static final String HIDDEN = "S";

    private static final JsonMapper JSON = new JsonMapper();

    private TableJson() {}

    static ObjectNode of(ToldTable told) {
        CountTable table = told.table();
        TableSpec spec = table.spec();
        Scheme scheme = spec.counting().scheme();
        ObjectNode out = JSON.createObjectNode()
                .put("table_id", told.id().toString())
                .put("site_id", spec.site().code())
                .put("told_at", told.at().toString())
                .put("measure", spec.counting().measure().id());
        if (scheme != null) {
            out.put("scheme", scheme.name());
        }
        out.put("definition", spec.counting().measure().definition())
                .put("by", spec.lines().by())
                .put("from", spec.from().toString())
                .put("to", spec.to().toString());
        ObjectNode filters = out.putObject("filters");
        spec.filters().forEach((stratum, codes) -> {
            ArrayNode list = filters.putArray(stratum.variable());
            codes.forEach(list::add);
        });
        out.put("audience", table.audience().code())
                .put("threshold", table.audience().threshold())
                .put("recipient", told.recipient())
                .put("purpose", told.purpose())
                .put("n", table.n())
                .put("x", table.x());
        ArrayNode lines = out.putArray("lines");
        for (CountTable.Line line : table.lines()) {
            ObjectNode one = lines.addObject();
            ArrayNode codes = one.putArray("codes");
            line.codes().forEach(codes::add);
            Estimate share = share(line);
            one.put("label", table.label(line))
                    .put("x", line.x())
                    .put("n", line.n())
                    .put("value", share == null ? null : (Double) share.value())
                    .put("lower", share == null ? null : (Double) share.lower())
                    .put("upper", share == null ? null : (Double) share.upper());
        }
        return out;
    }

    static ArrayNode of(List<ToldTable> all) {
        ArrayNode out = JSON.createArrayNode();
        all.forEach(told -> out.add(of(told)));
        return out;
    }

    static String csv(CountTable table) {
        StringBuilder out = new StringBuilder("codes,label,x,n,value,lower,upper\r\n");
        for (CountTable.Line line : table.lines()) {
            Estimate share = share(line);
            out.append(new StringJoiner(",", "", "\r\n")
                    .add(String.join(" ", line.codes()))
                    .add(CsvField.quoted(table.label(line)))
                    .add(line.x() == null ? HIDDEN : String.valueOf(line.x()))
                    .add(line.n() == null ? HIDDEN : String.valueOf(line.n()))
                    .add(share == null ? HIDDEN : String.valueOf(share.value()))
                    .add(share == null ? HIDDEN : String.valueOf(share.lower()))
                    .add(share == null ? HIDDEN : String.valueOf(share.upper())));
        }
        return out.toString();
    }

    /** The share with its interval; hidden with the number it is made of, which could be worked out from it. */
    static @Nullable Estimate share(CountTable.Line line) {
        Long n = line.n();
        Long x = line.x();
        return n == null || x == null
                ? null
                : ProportionInterval.WILSON
                        .of(new Proportion(x, n), Confidence.DEFAULT)
                        .orElseThrow();
    }
}
