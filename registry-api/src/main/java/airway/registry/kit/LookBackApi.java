package airway.registry.kit;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.web.AskedForm;
import airway.registry.web.JsonBody;
import jakarta.servlet.http.HttpServletRequest;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.http.HttpHeaders;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestHeader;
import org.springframework.web.bind.annotation.RestController;

/** Look-backs over HTTP: asked by POST, so that what is asked about stands in no address. */
@Needs({Right.LOOK_BACK, Right.SEE_TOUCHED})
@RestController
@ConditionalOnWebApplication
class LookBackApi {
    static final MediaType CSV = new MediaType("text", "csv", StandardCharsets.UTF_8);
    private static final List<MediaType> FORMS =
            List.of(MediaType.APPLICATION_JSON, new MediaType("text", "csv"), MediaType.APPLICATION_PDF);

    private final LookBacks lookBacks;
    private final LookBackPaper paper;

    LookBackApi(LookBacks lookBacks, LookBackPaper paper) {
        this.lookBacks = lookBacks;
        this.paper = paper;
    }

    @PostMapping(path = "/api/v1/kit/look-backs", consumes = MediaType.APPLICATION_JSON_VALUE)
    ResponseEntity<?> look(
            HttpServletRequest request,
            @RequestHeader(name = HttpHeaders.ACCEPT, required = false) @Nullable String accept) {
        MediaType form = AskedForm.of(null, accept, FORMS);
        LookBack look = lookBacks.look(JsonBody.read(request));
        if (form.equals(MediaType.APPLICATION_PDF)) {
            return file(form, "look-back.pdf", paper.pdf(look));
        }
        return form.getSubtype().equals("csv")
                ? file(CSV, "look-back.csv", LookBackCsv.of(look).getBytes(StandardCharsets.UTF_8))
                : ResponseEntity.ok().contentType(form).body(LookBackJson.of(look));
    }

    static ResponseEntity<byte[]> file(MediaType form, String name, byte[] content) {
        return ResponseEntity.ok()
                .contentType(form)
                .header(HttpHeaders.CONTENT_DISPOSITION, "attachment; filename=\"" + name + "\"")
                .body(content);
    }
}
