package airway.registry.web;

import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The API described for programs, as OpenAPI 3.1; each room adds what it answers. */
public final class ApiDocument {
    private static final JsonMapper JSON = new JsonMapper();
    private static final Pattern IN_PATH = Pattern.compile("\\{([a-z_]+)}");

    private final ObjectNode root = JSON.createObjectNode();
    private final ObjectNode paths;
    private final ObjectNode schemas;

    ApiDocument(String version) {
        root.put("openapi", "3.1.0");
        root.putObject("info")
                .put("title", "Airway event registry")
                .put("version", version)
                .put(
                        "description",
                        "Records of intubations and the figures made from them. What a body may hold comes from the"
                                + " dictionary of variables, which the registry checks it by; checks between several"
                                + " answers are on the page of the checks and are not in this document.");
        root.putArray("servers").addObject().put("url", "/");
        ArrayNode security = root.putArray("security");
        security.addObject();
        security.addObject().putArray("token");
        paths = root.putObject("paths");
        ObjectNode components = root.putObject("components");
        components
                .putObject("securitySchemes")
                .putObject("token")
                .put("type", "http")
                .put("scheme", "bearer")
                .put("description", "Tokens are not checked yet; the program serves its own machine only.");
        schemas = components.putObject("schemas");
        problem();
    }

    /** The whole document. */
    ObjectNode json() {
        return root;
    }

    public static ObjectNode object() {
        return JSON.createObjectNode();
    }

    public static ObjectNode ref(String schema) {
        return object().put("$ref", "#/components/schemas/" + schema);
    }

    public static ObjectNode list(ObjectNode items) {
        ObjectNode list = object().put("type", "array");
        list.set("items", items);
        return list;
    }

    /** All schemas. */
    public ObjectNode schemas() {
        return schemas;
    }

    /** A schema by name, empty until it is filled. */
    public ObjectNode schema(String name) {
        return schemas.putObject(name);
    }

    /**
     * An operation with what all of them share: the parts of its path as parameters, and its problems.
     *
     * @param problems statuses that it may answer with, besides 400, 404, 500 and 503
     */
    public ObjectNode operation(String method, String path, String id, String summary, int... problems) {
        ObjectNode operation = paths.withObjectProperty(path).putObject(method);
        operation.put("operationId", id).put("summary", summary);
        ArrayNode parameters = operation.putArray("parameters");
        Matcher part = IN_PATH.matcher(path);
        while (part.find()) {
            parameter(operation, "path", part.group(1), true, object().put("type", "string"), "");
        }
        if (parameters.isEmpty()) {
            operation.remove("parameters");
        }
        ObjectNode responses = operation.putObject("responses");
        for (int status : problems) {
            refused(responses, String.valueOf(status));
        }
        refused(responses, "default");
        return operation;
    }

    /** A parameter of an operation; {@code in} is path, query or header. */
    public static void parameter(
            ObjectNode operation, String in, String name, boolean required, ObjectNode schema, String description) {
        ObjectNode parameter = operation
                .withArrayProperty("parameters")
                .addObject()
                .put("name", name)
                .put("in", in)
                .put("required", required);
        if (!description.isEmpty()) {
            parameter.put("description", description);
        }
        parameter.set("schema", schema);
    }

    /** The JSON body that an operation takes, with examples that the registry accepts. */
    public static void body(ObjectNode operation, ObjectNode schema, Map<String, JsonNode> examples) {
        ObjectNode content = operation
                .putObject("requestBody")
                .put("required", true)
                .putObject("content")
                .putObject("application/json");
        content.set("schema", schema);
        new TreeMap<>(examples)
                .forEach((name, example) ->
                        content.withObjectProperty("examples").putObject(name).set("value", example));
    }

    /** The answer of success. */
    public static ObjectNode answer(ObjectNode operation, int status, String description, ObjectNode schema) {
        ObjectNode response = object().put("description", description);
        response.putObject("content").putObject("application/json").set("schema", schema);
        ObjectNode responses = operation.withObjectProperty("responses");
        ObjectNode others = responses.deepCopy();
        responses.removeAll();
        responses.set(String.valueOf(status), response);
        responses.setAll(others);
        return response;
    }

    public static void header(ObjectNode response, String name, String description) {
        response.withObjectProperty("headers")
                .putObject(name)
                .put("description", description)
                .putObject("schema")
                .put("type", "string");
    }

    private static void refused(ObjectNode responses, String status) {
        ObjectNode response = responses.putObject(status).put("description", "A problem");
        response.putObject("content").putObject(ProblemJson.MEDIA_TYPE).set("schema", ref("Problem"));
    }

    private void problem() {
        ObjectNode problem = schema("Problem");
        problem.put("type", "object").put("description", "RFC 9457; nothing was stored.");
        ArrayNode required = problem.putArray("required");
        List.of("type", "title", "status", "detail", "instance").forEach(required::add);
        ObjectNode properties = problem.putObject("properties");
        properties.putObject("type").put("type", "string").put("pattern", "^/problems/[a-z-]+$");
        properties.putObject("title").put("type", "string");
        properties.putObject("status").put("type", "integer");
        properties.putObject("detail").put("type", "string");
        properties.putObject("instance").put("type", "string").put("pattern", "^urn:uuid:");
        ObjectNode error = object().put("type", "object");
        ArrayNode each = error.putArray("required");
        List.of("code", "detail", "severity").forEach(each::add);
        ObjectNode parts = error.putObject("properties");
        parts.putObject("pointer").put("type", "string").put("description", "JSON pointer into the body");
        parts.putObject("parameter").put("type", "string").put("description", "a parameter or header");
        parts.putObject("code").put("type", "string");
        parts.putObject("detail").put("type", "string").put("description", "what to do about it");
        ArrayNode severities = parts.putObject("severity").putArray("enum");
        severities.add("error").add("confirm");
        properties.set("errors", list(error));
    }
}
