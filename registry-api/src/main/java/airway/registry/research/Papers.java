package airway.registry.research;

import airway.registry.access.Site;
import airway.registry.dictionary.Code;
import airway.registry.dictionary.Dictionary;
import airway.stats.disclosure.Generalisation.Loss;
import java.nio.charset.StandardCharsets;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import tools.jackson.core.util.DefaultIndenter;
import tools.jackson.core.util.DefaultPrettyPrinter;
import tools.jackson.databind.ObjectWriter;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/**
 * What stands beside the rows of a package: what they are, what each value means, how well the children are hidden, and where
 * it all comes from. No day but that of the approval is in it, and no name of a unit.
 *
 * @param page the report on the risk as a page, made of it
 */
record Papers(DataRequest request, Approval approval, Contents contents, String software, String page) {
    private static final DateTimeFormatter MONTH = DateTimeFormatter.ofPattern("MMMM yyyy", Locale.ENGLISH);

    /** The same on every machine. */
    private static final ObjectWriter JSON = new JsonMapper()
            .writer()
            .with(new DefaultPrettyPrinter().withObjectIndenter(new DefaultIndenter("  ", "\n")));

    private static final String REPORT = "risk-report";

    /**
     * Each part by its name, in the order in which they are written.
     *
     * @param rows the files with the rows
     */
    Map<String, String> texts(Map<String, PackageFile.Part> rows) {
        Map<String, String> texts = new LinkedHashMap<>();
        texts.put("datapackage.json", json(dataPackage(rows)));
        texts.put("README.md", readMe());
        texts.put("codebook.md", codebook());
        texts.put(REPORT + ".json", json(contents.report().json()));
        texts.put(REPORT + ".html", page);
        texts.put("provenance.json", json(provenance()));
        return texts;
    }

    private static String json(ObjectNode node) {
        return JSON.writeValueAsString(node) + "\n";
    }

    private LocalDate day() {
        return LocalDate.ofInstant(approval.cutOff(), ZoneOffset.UTC);
    }

    /** Data Package and Table Schema, version 2 of the standard. */
    private ObjectNode dataPackage(Map<String, PackageFile.Part> rows) {
        ObjectNode out = new JsonMapper()
                .createObjectNode()
                .put("$schema", "https://datapackage.org/profiles/2.0/datapackage.json")
                .put("name", "airway-events")
                .put("id", "urn:uuid:" + request.id())
                .put("title", "Intubations of one unit, for research")
                .put(
                        "description",
                        (internal() ? "Never leaves the organisation. " : "")
                                + "See README.md, codebook.md and risk-report.json.")
                .put("version", String.valueOf(request.version()))
                .put("created", day() + "T00:00:00Z");
        ArrayNode resources = out.putArray("resources");
        ObjectNode resource = resource(resources, "events", PackageFile.ROWS, rows)
                .put("title", "One row for each intubation")
                .put("type", "table")
                .put("format", "csv")
                .put("mediatype", "text/csv")
                .put("encoding", "utf-8");
        resource.putObject("dialect")
                .put("$schema", "https://datapackage.org/profiles/2.0/tabledialect.json")
                .put("delimiter", ",")
                .put("lineTerminator", "\r\n")
                .put("quoteChar", "\"")
                .put("doubleQuote", true)
                .put("header", true);
        ObjectNode schema = resource.putObject("schema");
        schema.put("$schema", "https://datapackage.org/profiles/2.0/tableschema.json");
        ArrayNode fields = schema.putArray("fields");
        for (Released.Column column : contents.released().columns()) {
            ObjectNode field = fields.addObject()
                    .put("name", column.name())
                    .put("type", column.type())
                    .put("title", column.title())
                    .put("description", column.description() + " Told as: " + column.how() + ".");
            if (!column.values().isEmpty()) {
                ArrayNode categories = field.putArray("categories");
                for (Code code : column.values()) {
                    categories.addObject().put("value", code.value()).put("label", code.label());
                }
                field.put("categoriesOrdered", column.ordered());
            }
        }
        ArrayNode missing = schema.putArray("missingValues");
        Missing.WORDS.forEach(
                (value, words) -> missing.addObject().put("value", value).put("label", words));
        resource(resources, "events-parquet", PackageFile.PARQUET, rows)
                .put("title", "The same rows as Apache Parquet")
                .put("description", "Texts as in the first resource, which counts; null where nothing was recorded.")
                .put("format", "parquet")
                .put("mediatype", "application/vnd.apache.parquet");
        return out;
    }

    private static ObjectNode resource(
            ArrayNode resources, String name, String path, Map<String, PackageFile.Part> rows) {
        PackageFile.Part part = Objects.requireNonNull(rows.get(path));
        return resources
                .addObject()
                .put("name", name)
                .put("path", path)
                .put("bytes", part.bytes())
                .put("hash", "sha256:" + part.sha256());
    }

    /** What can be handed on of a record of provenance: no name of a unit or of a person. */
    private ObjectNode provenance() {
        ObjectNode query = query();
        ObjectNode out = new JsonMapper().createObjectNode();
        out.put("request", request.id().toString())
                .put("approved_in_step", request.version())
                .put("cut_off", day().toString())
                .put("approval_reference", request.terms().approvalReference())
                .put("approval_expires", request.terms().approvalExpires().toString());
        out.set("query", query);
        Approval.Head head = approval.head();
        out.put("query_sha256", sha256(query.toString()))
                .put("contents_sha256", approval.digest())
                .put("software", software)
                .put("rules_of_privacy", RiskReport.RULES)
                .put("dictionary", Dictionary.current().version());
        if (head == null) {
            out.putNull("audit_head");
        } else {
            out.putObject("audit_head").put("place", head.seq()).put("hash", head.hash());
        }
        out.put("held_against", approval.heldAgainst()).put("stays_in_the_organisation", internal());
        if (approval.acceptedLoss() == null) {
            out.putNull("accepted_loss_percent");
        } else {
            out.put("accepted_loss_percent", approval.acceptedLoss());
        }
        return out;
    }

    private ObjectNode query() {
        Choice choice = request.choice();
        ObjectNode query = new JsonMapper()
                .createObjectNode()
                .put("profile", choice.profile().code())
                .put("safe_harbor", choice.safeHarbor())
                .put(
                        "from",
                        choice.cohort().from() == null
                                ? ""
                                : String.valueOf(choice.cohort().from()))
                .put(
                        "to",
                        choice.cohort().to() == null
                                ? ""
                                : String.valueOf(choice.cohort().to()));
        ArrayNode variables = query.putArray("variables");
        choice.variables().forEach(variable -> variables.add(variable.variable()));
        choice.answers().forEach(answer -> variables.add(answer.variable()));
        ObjectNode filters = query.putObject("filters");
        choice.cohort().filters().forEach((stratum, codes) -> {
            ArrayNode list = filters.putArray(stratum.variable());
            codes.forEach(list::add);
        });
        query.put("about", choice.about() == null ? "" : String.valueOf(choice.about()));
        return query;
    }

    private boolean internal() {
        return request.choice().profile() == Profile.INTERNAL_PSEUDONYMISED;
    }

    private static String sha256(String text) {
        return HexFormat.of().formatHex(Contents.sha256().digest(text.getBytes(StandardCharsets.UTF_8)));
    }

    private String readMe() {
        RiskReport report = contents.report();
        List<String> lines = new ArrayList<>(List.of(
                "# Intubations of one unit, for research",
                "",
                "- Purpose: " + request.terms().purpose(),
                "- Who holds it: " + request.terms().recipient() + " ("
                        + request.choice().holder() + ")",
                "- Approval: " + request.terms().approvalReference() + ", until "
                        + request.terms().approvalExpires(),
                "- Unit: " + Site.KINDS.getOrDefault(request.site().kind(), "another kind")
                        + (request.site().invented() ? "; INVENTED DATA: nothing here happened to anybody" : ""),
                "- Which intubations: " + which(),
                "- As of: " + day(),
                "",
                "## Terms",
                "",
                "Do not attempt to find out who a row is about, and do not join these rows with other data of single people."
                        + (request.choice().profile() == Profile.PUBLIC
                                ? ""
                                : " Do not hand them on. Delete them when the approval is over.")
                        + " Tell the unit if you recognise somebody all the same. Local rules and the agreement come first.",
                "",
                internal()
                        ? "**Never leaves the organisation.** These are data of persons"
                                + (request.choice().pseudonymised()
                                        ? ": rows of one child can be joined by `patient_code`, and whoever holds the key of the"
                                                + " registry can tell whose they are."
                                        : ".")
                                + " Hand them to nobody outside, keep them where such data are kept, and ask for another kind"
                                + " of package for anybody else."
                        : request.choice().profile() == Profile.PUBLIC
                                ? "The rows carry no key and are meant for anybody; whether they are anonymous in the sense of the law is"
                                        + " for the data protection officer to say."
                                : "In the hands of the unit these rows stay personal data; treat them as such unless your data protection"
                                        + " officer says otherwise.",
                "",
                (request.choice().safeHarbor()
                                ? "Nothing finer than a year, no place below the kind of unit and no code for a child is here, as the"
                                        + " safe harbor of 45 CFR 164.514(b)(2) asks among other things. That is a floor: a rare"
                                        + " child can be known without any of them. Whether the rule is met is for whoever answers"
                                        + " for it to say. "
                                : "")
                        + "Earlier packages of the unit that it was held against: " + approval.heldAgainst() + ".",
                "",
                "## Files",
                "",
                "- `data/events.csv`: the rows; UTF-8, RFC 4180. One row for each intubation, in the order of the values, which"
                        + " tells nothing.",
                "- `data/events.parquet`: the same rows as Apache Parquet; null where nothing was recorded.",
                "- `datapackage.json`: the same described for programs (Data Package and Table Schema, version 2).",
                "- `codebook.md`: what each column and value means, with sources.",
                "- `risk-report.json`, `risk-report.html`: how well the children are hidden, and how that was found.",
                "- `provenance.json`: which question, which software, and how far the audit had come.",
                "- `manifest.sha256`: checksums; `sha256sum -c manifest.sha256`.",
                "",
                "## How many",
                "",
                "About " + OutlookJson.rounded(approval.matching()) + " intubations matched. About "
                        + OutlookJson.rounded(approval.matching() - approval.allowed())
                        + " stayed in the unit: the family objected, or nobody wrote down that they were asked. "
                        + report.removed() + " rows were left out because a child would have stood out; "
                        + contents.released().rows().size() + " are here.",
                ""));
        report.lost()
                .forEach((value, loss) -> lines.add("- " + (value.equals("yes") ? "With" : "Without")
                        + " a severe event" + (value.equals("yes") ? "" : ", or not known") + ": " + words(loss)));
        Loss named = report.coarsening().lostOfNamed(report.found());
        if (named != null && request.choice().about() != null) {
            lines.add("- " + request.choice().about().words() + ": " + words(named));
        }
        lines.add("");
        lines.add(
                "Left out are rare children, and severe events cluster in them: rates of these rows can look better than those"
                        + " of the unit.");
        if (!contents.released().leftOut().isEmpty()) {
            lines.add("");
            lines.add("Asked for and told nowhere, because a child would have stood out: "
                    + String.join(", ", contents.released().leftOut()) + ".");
        }
        lines.addAll(List.of(
                "",
                "## No value",
                "",
                "Nothing between the commas: not recorded. U: asked and not known, or not recorded. NA: does not apply. A value"
                        + " that few children have is told as other.",
                "",
                "Describes what happened; ranks nobody. Not advice; licensed practice and local policy come first."));
        return String.join("\n", lines) + "\n";
    }

    private static String words(Loss loss) {
        return loss.removed() + " of " + loss.all() + " rows left out"
                + (loss.overATenth() ? ", more than a tenth" : "") + ".";
    }

    private String which() {
        Choice choice = request.choice();
        StringBuilder words = new StringBuilder("all");
        if (choice.cohort().from() != null) {
            words.append(", from ").append(MONTH.format(choice.cohort().from()));
        }
        if (choice.cohort().to() != null) {
            words.append(", to ").append(MONTH.format(choice.cohort().to()));
        }
        choice.cohort()
                .filters()
                .forEach((stratum, codes) -> words.append("; ")
                        .append(stratum.title())
                        .append(": ")
                        .append(String.join(
                                " or ", codes.stream().map(stratum::label).toList())));
        return words.append('.').toString();
    }

    private String codebook() {
        StringBuilder out = new StringBuilder("# What each column means\n");
        for (Released.Column column : contents.released().columns()) {
            out.append("\n## `")
                    .append(column.name())
                    .append("`: ")
                    .append(column.title())
                    .append("\n\n")
                    .append(column.description())
                    .append("\n\n- Told as: ")
                    .append(column.how())
                    .append("\n- Source: ")
                    .append(column.source())
                    .append('\n');
            for (Code code : column.values()) {
                out.append("- `")
                        .append(code.value())
                        .append("`: ")
                        .append(code.label())
                        .append('\n');
            }
        }
        out.append("\n## No value\n\n");
        Missing.WORDS.forEach((value, words) -> out.append("- ")
                .append(value.isEmpty() ? "nothing" : "`" + value + "`")
                .append(": ")
                .append(words)
                .append('\n'));
        return out.append("\nDictionary ")
                .append(Dictionary.current().version())
                .append(".\n")
                .toString();
    }
}
