package airway.registry.imports;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ObjectNode;

/** One object of a mapping file with its place in it, so that a refusal says where. */
record Part(ObjectNode json, String place) {

    static Part of(JsonNode json, String place) {
        if (json instanceof ObjectNode object) {
            return new Part(object, place);
        }
        throw refused(place, "an object in braces belongs here");
    }

    static ImportRefused refused(String place, String why) {
        return ImportRefused.unusable("The mapping cannot be used: " + place + ": " + why + ".");
    }

    ImportRefused refused(String why) {
        return refused(place, why);
    }

    /** Refuses names that mean nothing here. */
    Part only(String... names) {
        Set<String> known = Set.of(names);
        for (String name : json.propertyNames()) {
            if (!known.contains(name)) {
                throw refused("there is no setting \"" + name + "\" here");
            }
        }
        return this;
    }

    boolean has(String name) {
        return json.has(name);
    }

    JsonNode node(String name) {
        return json.path(name);
    }

    String text(String name) {
        return optionalText(name).orElseThrow(() -> refused("\"" + name + "\" is missing"));
    }

    Optional<String> optionalText(String name) {
        if (!json.has(name)) {
            return Optional.empty();
        }
        if (!json.path(name).isString() || json.path(name).stringValue().isBlank()) {
            throw refused("\"" + name + "\" must be a text");
        }
        return Optional.of(json.path(name).stringValue());
    }

    boolean flag(String name) {
        if (json.has(name) && !json.path(name).isBoolean()) {
            throw refused("\"" + name + "\" must be true or false");
        }
        return json.path(name).asBoolean(false);
    }

    /** A list of texts, or one text for a list of one; empty when absent. */
    List<String> texts(String name) {
        JsonNode list = json.path(name);
        if (list.isMissingNode()) {
            return List.of();
        }
        if (list.isString()) {
            return List.of(list.stringValue());
        }
        List<String> texts = new ArrayList<>();
        for (JsonNode item : list) {
            if (!item.isString()) {
                throw refused("\"" + name + "\" must be a list of texts");
            }
            texts.add(item.stringValue());
        }
        if (!list.isArray()) {
            throw refused("\"" + name + "\" must be a list of texts");
        }
        return texts;
    }

    Part part(String name) {
        if (!json.has(name)) {
            throw refused("\"" + name + "\" is missing");
        }
        return of(json.path(name), place + "/" + name);
    }

    /** The objects of a list; empty when absent. */
    List<Part> parts(String name) {
        JsonNode list = json.path(name);
        if (!list.isMissingNode() && !list.isArray()) {
            throw refused("\"" + name + "\" must be a list");
        }
        List<Part> parts = new ArrayList<>();
        for (JsonNode item : list) {
            parts.add(of(item, place + "/" + name + "/" + parts.size()));
        }
        return parts;
    }

    /** The objects of an object by name, in order; empty when absent. */
    Map<String, Part> members(String name) {
        Map<String, Part> members = new LinkedHashMap<>();
        if (json.has(name)) {
            Part object = part(name);
            object.json
                    .properties()
                    .forEach(member ->
                            members.put(member.getKey(), of(member.getValue(), object.place + "/" + member.getKey())));
        }
        return members;
    }
}
