package airway.registry.reports;

import airway.registry.quality.Completeness;
import airway.registry.reports.Paper.Block;
import airway.registry.reports.Paper.Section;
import airway.stats.Estimate;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Reports as JSON. Fractions go from 0 to 1; what cannot be computed is null. */
final class ReportJson {
    private static final JsonMapper JSON = new JsonMapper();

    private ReportJson() {}

    /** The numbers of a quarter. */
    static ObjectNode of(Figures figures) {
        ObjectNode json = JSON.createObjectNode()
                .put("as_of", figures.asOf().toString())
                .put("complete", figures.over())
                .put("records", figures.records())
                .put("records_of_two_years", figures.recordsOfTwoYears());
        ArrayNode measures = json.putArray("measures");
        for (Figures.Figure figure : figures.measures()) {
            ObjectNode one =
                    measures.addObject().put("measure", figure.measure().id());
            one.put("title", Sentences.title(figure.measure()));
            one.set("quarter", of(figure.quarter()));
            one.set("year", of(figure.year()));
            one.set("year_before", of(figure.before()));
            one.set("difference", of(difference(figure)));
        }
        Completeness data = figures.completeness();
        ObjectNode completeness = json.putObject("completeness");
        completeness.set("first_answered", of(data.first()));
        completeness.set("first_known", of(data.known()));
        completeness.set("details_answered", of(data.details()));
        ObjectNode capture = json.putObject("capture");
        capture.set("listed", data.monthsListed() == 0 ? null : of(data.captured()));
        capture.set("beside_count", data.monthsCounted() == 0 ? null : of(data.besideCount()));
        capture.put("months_not_known", data.monthsUnknown());
        json.putObject("reviews")
                .put("waiting", figures.reviewed().waiting())
                .put("done", figures.reviewed().done());
        return json;
    }

    private static Optional<Estimate> difference(Figures.Figure figure) {
        return figure.year().bearsPercentage() && figure.before().bearsPercentage()
                ? figure.year().less(figure.before())
                : Optional.empty();
    }

    private static ObjectNode of(Tally tally) {
        ObjectNode json = JSON.createObjectNode().put("x", tally.x()).put("n", tally.n());
        json.put("outside", tally.outside()).put("unknown", tally.unknown());
        Estimate estimate = tally.estimate().orElse(null);
        json.put("value", estimate == null ? null : (Double) estimate.value());
        json.put("lower", estimate == null ? null : (Double) estimate.lower());
        json.put("upper", estimate == null ? null : (Double) estimate.upper());
        return json;
    }

    private static @Nullable ObjectNode of(Optional<Estimate> difference) {
        return difference
                .map(estimate -> JSON.createObjectNode()
                        .put("value", estimate.value())
                        .put("lower", estimate.lower())
                        .put("upper", estimate.upper()))
                .orElse(null);
    }

    private static ObjectNode of(Completeness.Part part) {
        return JSON.createObjectNode().put("x", part.x()).put("n", part.n());
    }

    /** A report with its numbers and the sentences for its readers; for readers outside the unit without the numbers. */
    static ObjectNode of(Report report, Readers readers) {
        Kept kept = report.kept();
        ObjectNode json = JSON.createObjectNode()
                .put("site_id", report.site().code())
                .put("quarter", report.quarter().code())
                .put("status", kept == null ? "preliminary" : kept.status())
                .put("version", report.version())
                .put("quarter_over", report.over())
                .put("readers", readers.code());
        texts(json.putObject("texts"), report.texts());
        Kept.Frozen frozen = kept == null ? null : kept.frozen();
        if (kept != null && frozen != null) {
            json.putObject("finalised")
                    .put("at", kept.writtenAt().toString())
                    .put("cut_off", frozen.cutOff().toString())
                    .put("software", frozen.software())
                    .put("audit_seal", frozen.seal());
            ObjectNode since = json.putObject("corrections");
            since.put("words", report.corrections().words(readers));
            if (readers == Readers.UNIT) {
                since.set("quarter", of(report.corrections().quarter()));
                since.set("earlier", of(report.corrections().earlier()));
            }
        } else {
            json.putNull("finalised").putNull("corrections");
        }
        json.set("figures", readers == Readers.UNIT ? report.figures() : null);
        Paper paper = report.paper(readers);
        json.put("title", paper.title()).put("standing", paper.standing()).put("notice", paper.notice());
        ArrayNode sections = json.putArray("sections");
        paper.sections().forEach(section -> sections.add(of(section)));
        return json;
    }

    private static ObjectNode of(Section section) {
        ObjectNode json = JSON.createObjectNode().put("id", section.id()).put("title", section.title());
        ArrayNode says = json.putArray("says");
        for (Block block : section.blocks()) {
            if (block.text() != null) {
                says.add(block.text());
            }
            if (block.points() != null) {
                block.points().forEach(says::add);
            }
            if (block.drawing() != null) {
                says.add(block.drawing().says());
            }
        }
        return json;
    }

    private static ObjectNode of(Corrections.Since since) {
        return JSON.createObjectNode()
                .put("amended", since.amended())
                .put("added", since.added())
                .put("withdrawn", since.withdrawn());
    }

    private static void texts(ObjectNode json, Texts texts) {
        json.put("context", texts.context())
                .put("learned", texts.learned())
                .put("next_steps", texts.nextSteps())
                .put("asked_for", texts.askedFor())
                .put("read_with_care", texts.readWithCare());
    }

    /** A version of what was written. */
    static ObjectNode of(Kept kept) {
        ObjectNode json = JSON.createObjectNode()
                .put("site_id", kept.site().code())
                .put("quarter", kept.quarter().code())
                .put("version", kept.version())
                .put("status", kept.status())
                .put("written_at", kept.writtenAt().toString());
        texts(json.putObject("texts"), kept.texts());
        return json;
    }

    static ArrayNode of(List<Kept> versions) {
        ArrayNode json = JSON.createArrayNode();
        versions.forEach(kept -> json.add(of(kept)));
        return json;
    }

    /** The list of a unit. */
    static ArrayNode lines(List<ReportQuery.Line> lines) {
        ArrayNode json = JSON.createArrayNode();
        for (ReportQuery.Line line : lines) {
            json.addObject()
                    .put("quarter", line.quarter().code())
                    .put("version", line.version())
                    .put("status", line.finalisedAt() == null ? "preliminary" : "final")
                    .put("written_at", line.writtenAt().toString());
        }
        return json;
    }
}
