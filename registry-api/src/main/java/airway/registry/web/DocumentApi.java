package airway.registry.web;

import airway.registry.access.Open;
import airway.registry.dictionary.Dictionary;
import java.util.List;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RestController;
import tools.jackson.databind.json.JsonMapper;

/** The description of the API: public, without any data. */
@Open
@RestController
class DocumentApi {
    private final String document;

    DocumentApi(List<ApiPart> parts) {
        ApiDocument made = new ApiDocument(Dictionary.current().version());
        parts.forEach(part -> part.describe(made));
        document = new JsonMapper().writerWithDefaultPrettyPrinter().writeValueAsString(made.json()) + "\n";
    }

    @GetMapping("/api/v1/openapi.json")
    ResponseEntity<String> document() {
        return ResponseEntity.ok().contentType(MediaType.APPLICATION_JSON).body(document);
    }
}
