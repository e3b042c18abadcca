package airway.registry.imports;

import airway.registry.access.Needs;
import airway.registry.access.Right;
import airway.registry.access.Site;
import airway.registry.access.Sites;
import airway.registry.dictionary.Dictionary;
import airway.registry.encounter.DeviceSetups;
import airway.registry.problem.Key;
import airway.registry.problem.Problem;
import jakarta.servlet.MultipartConfigElement;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Optional;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.core.io.FileSystemResource;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.multipart.MultipartFile;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;

/**
 * Old records by the page: send a table and a mapping, look at what was found, take in exactly what was checked.
 *
 * <p>A short table is answered at once; for a long one the page that is asked again tells how far it has come. It works
 * without script.
 */
@Needs(Right.IMPORT)
@Controller
@ConditionalOnWebApplication
class ImportPages {
    private static final int MOST_ROWS = 50_000;
    private static final long MOST_BYTES = 64L * 1024 * 1024;
    private static final int LONGEST_MAPPING = 1024 * 1024;

    /** More than the page takes, so that a file somewhat too large is refused in words and the mapping stays. */
    private static final long MOST_RECEIVED = 4 * MOST_BYTES;

    private static final long PATIENCE_MS = 3_000;
    private static final String ASK_AGAIN_S = "2";
    private static final DateTimeFormatter AT = DateTimeFormatter.ofPattern("HH:mm", Locale.ENGLISH);
    private static final MediaType CSV = new MediaType("text", "csv", StandardCharsets.UTF_8);

    private final Imports imports;
    private final Uploads uploads;
    private final SavedMappings mappings;
    private final Sites sites;
    private final DeviceSetups setups;

    ImportPages(Imports imports, Uploads uploads, SavedMappings mappings, Sites sites, DeviceSetups setups) {
        this.imports = imports;
        this.uploads = uploads;
        this.mappings = mappings;
        this.sites = sites;
        this.setups = setups;
    }

    /** Where the server puts a file that is being sent: straight to disk, never into memory. */
    @Configuration(proxyBeanMethods = false)
    @ConditionalOnWebApplication
    static class Receiving {
        @Bean
        MultipartConfigElement receiving(Uploads uploads) {
            return new MultipartConfigElement(
                    uploads.incoming().toString(), MOST_RECEIVED, MOST_RECEIVED + 2L * LONGEST_MAPPING, 0);
        }
    }

    /** A row of the table of what is to be mended. */
    public record Line(int row, String column, String field, String fault, String mend) {}

    /** A table that was sent and is still here. */
    public record Sent(UUID id, String stands, String at, int rows) {}

    @GetMapping("/import")
    ModelAndView form(
            @RequestParam(name = "site_id", required = false) @Nullable String siteId,
            @RequestParam(required = false) @Nullable String source,
            @RequestParam(required = false) @Nullable String upload) {
        Site site = sites.named(siteId);
        Upload held = upload == null ? null : uploads.find(Key.of(upload, "import"));
        String mapping = held == null ? "" : held.mapping();
        if (source != null) {
            mapping = mappings.newest(site, source).orElseThrow(() -> new Problem.Missing("mapping"));
        }
        return form(site, mapping, held, HttpStatus.OK, null);
    }

    @PostMapping(path = "/import", consumes = MediaType.MULTIPART_FORM_DATA_VALUE)
    ModelAndView check(
            @RequestParam(name = "site_id", required = false) @Nullable String siteId,
            @RequestParam(required = false) @Nullable MultipartFile file,
            @RequestParam(name = "mapping_file", required = false) @Nullable MultipartFile mappingFile,
            @RequestParam(defaultValue = "") String mapping,
            @RequestParam(required = false) @Nullable String upload) {
        String text = mapping;
        Upload held = upload == null || upload.isEmpty() ? null : uploads.find(Key.of(upload, "import"));
        Upload received = null;
        try {
            text = mappingFile == null || mappingFile.isEmpty() ? mapping : text(mappingFile);
            received = held(file, held);
            held = received;
            return checked(received, text);
        } catch (ImportRefused e) {
            boolean useless = e.why() == ImportRefused.Why.NO_TABLE || e.why() == ImportRefused.Why.TOO_LARGE;
            if (useless && received != null) {
                uploads.discard(received);
                held = null;
            }
            return form(sites.named(siteId), text, held, status(e), e.sentence());
        } catch (Problem.Unavailable e) {
            return bare(text, held, HttpStatus.SERVICE_UNAVAILABLE, e.title() + ". " + e.detail())
                    .addObject("away", true);
        }
    }

    private ModelAndView checked(Upload upload, String text) {
        Mapping meaning = MappingReader.read(text.getBytes(StandardCharsets.UTF_8));
        Site into = into(meaning);
        ImportFile fits = ImportFile.read(upload.table(), meaning, MOST_ROWS);
        mappings.save(into, meaning.source(), text);
        if (upload.check(into, text, fits)) {
            uploads.run(upload, imports, Take.CHECK_ONLY);
        }
        Upload.Now now = upload.await(PATIENCE_MS);
        ImportRefused refusal = now.refusal();
        if (now.state() == Upload.State.FAILED && refusal != null) {
            throw refusal;
        }
        return refused(now) ? page(upload, now, HttpStatus.UNPROCESSABLE_CONTENT) : seeOther(upload);
    }

    /** The table that was sent now, or the one that was kept when only the mapping was to be mended. */
    private Upload held(@Nullable MultipartFile file, @Nullable Upload before) {
        if (file == null || file.isEmpty()) {
            if (before == null || !Files.exists(before.table())) {
                throw ImportRefused.unusable("Choose the table to take in: a CSV file with at least its column names.");
            }
            return before;
        }
        if (file.getSize() > MOST_BYTES) {
            throw ImportRefused.tooLarge(
                    "The file is larger than 64 MiB; split it, or use the command, which has no limit.");
        }
        if (before != null) {
            uploads.discard(before);
        }
        Upload fresh = uploads.add();
        try {
            file.transferTo(fresh.table().toFile());
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return fresh;
    }

    private static String text(MultipartFile mapping) {
        if (mapping.getSize() > LONGEST_MAPPING) {
            throw ImportRefused.unusable("The mapping is larger than 1 MiB.");
        }
        try {
            return new String(mapping.getBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** A page makes no units: those are made by whoever runs the register. */
    private Site into(Mapping mapping) {
        String code = mapping.unit().code();
        return sites.find(code)
                .orElseThrow(() -> Part.refused(
                        "/site/site_id",
                        "there is no unit \"" + code + "\" here; name one of yours, or make it by the command"));
    }

    @GetMapping("/import/{id}")
    ModelAndView shown(@PathVariable String id, HttpServletResponse response) {
        Upload upload = uploads.find(Key.of(id, "import"));
        Upload.Now now = upload.now();
        if (now.state().running()) {
            response.setHeader("Refresh", ASK_AGAIN_S);
        }
        return page(upload, now, HttpStatus.OK);
    }

    @PostMapping("/import/{id}/take")
    ModelAndView take(@PathVariable String id) {
        Upload upload = uploads.find(Key.of(id, "import"));
        if (refused(upload.now())) {
            return page(upload, upload.now(), HttpStatus.UNPROCESSABLE_CONTENT);
        }
        if (upload.take()) {
            uploads.run(upload, imports, Take.ALL_OR_NOTHING);
            upload.await(PATIENCE_MS);
        }
        return seeOther(upload);
    }

    /** Stops what is running, or throws away what is not. */
    @PostMapping("/import/{id}/stop")
    ModelAndView stop(@PathVariable String id) {
        Upload upload = uploads.find(Key.of(id, "import"));
        if (upload.now().state().running()) {
            upload.stop();
            upload.await(PATIENCE_MS);
            return seeOther(upload);
        }
        RedirectView back = new RedirectView("/import");
        back.addStaticAttribute("site_id", upload.site().code());
        uploads.discard(upload);
        back.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(back);
    }

    @GetMapping("/import/{id}/to-mend.csv")
    ResponseEntity<FileSystemResource> toMend(@PathVariable String id) {
        Upload upload = uploads.find(Key.of(id, "import"));
        if (upload.now().state().running() || upload.now().complaints() == 0) {
            throw new Problem.Missing("list");
        }
        return ResponseEntity.ok()
                .contentType(CSV)
                .header(HttpHeaders.CONTENT_DISPOSITION, attachment("to-mend.csv"))
                .body(new FileSystemResource(upload.toMend()));
    }

    @GetMapping("/import/template.csv")
    ResponseEntity<String> template(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return file("template.csv", CSV, template(sites.named(siteId)).header());
    }

    @GetMapping("/import/example.csv")
    ResponseEntity<String> example(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return file("example.csv", CSV, template(sites.named(siteId)).example());
    }

    @GetMapping("/import/template-mapping.json")
    ResponseEntity<String> mapping(@RequestParam(name = "site_id", required = false) @Nullable String siteId) {
        return file(
                "template-mapping.json",
                MediaType.APPLICATION_JSON,
                template(sites.named(siteId)).mapping());
    }

    @GetMapping("/import/codebook.csv")
    ResponseEntity<String> codebook() {
        return file("codebook.csv", CSV, Codebook.csv());
    }

    private Template template(Site site) {
        return new Template(site, setups.all(site));
    }

    private ModelAndView form(
            Site site, String mapping, @Nullable Upload held, HttpStatus status, @Nullable String fault) {
        return bare(mapping, held, status, fault)
                .addObject("unitCode", site.code())
                .addObject("sources", mappings.sources(site))
                .addObject(
                        "open",
                        uploads.open(site).stream().map(one -> sent(one, site)).toList());
    }

    private static ModelAndView bare(String mapping, @Nullable Upload held, HttpStatus status, @Nullable String fault) {
        return new ModelAndView("imports/import", status)
                .addObject("mapping", mapping)
                .addObject("held", held == null ? null : held.id())
                .addObject("fault", fault);
    }

    private static ModelAndView page(Upload upload, Upload.Now now, HttpStatus status) {
        ModelAndView page = new ModelAndView("imports/run", status)
                .addObject("unitCode", upload.site().code())
                .addObject("site", upload.site())
                .addObject("id", upload.id())
                .addObject("now", now)
                .addObject("state", now.state().name())
                .addObject("refused", refused(now))
                .addObject("lines", now.lines().stream().map(ImportPages::line).toList());
        ImportReport report = now.report();
        return report == null ? page : page.addObject("report", report);
    }

    private static Sent sent(Upload upload, Site site) {
        Upload.Now now = upload.now();
        String stands = switch (now.state()) {
            case HELD, CHECKING -> "Being checked";
            case CHECKED -> "Checked, not taken in";
            case TAKING -> "Being taken in";
            case TAKEN -> "Taken in";
            case STOPPED, FAILED -> "Ended early";
        };
        return new Sent(upload.id(), stands, AT.format(upload.at().atZone(site.zone())), now.rows());
    }

    private static Line line(Upload.Line line) {
        Complaint complaint = line.complaint();
        String field = complaint.field();
        return new Line(
                line.row(),
                complaint.column().startsWith("/") ? "" : complaint.column(),
                Dictionary.current().contains(field)
                        ? Dictionary.current().variable(field).title()
                        : "",
                complaint.code(),
                complaint.mend());
    }

    private static boolean refused(Upload.Now now) {
        return Optional.ofNullable(now.report())
                .filter(report -> report.rejected() > 0)
                .isPresent();
    }

    private static ModelAndView seeOther(Upload upload) {
        RedirectView page = new RedirectView("/import/" + upload.id());
        page.setStatusCode(HttpStatus.SEE_OTHER);
        return new ModelAndView(page);
    }

    private static HttpStatus status(ImportRefused refused) {
        return switch (refused.why()) {
            case UNUSABLE -> HttpStatus.UNPROCESSABLE_CONTENT;
            case NO_TABLE -> HttpStatus.UNSUPPORTED_MEDIA_TYPE;
            case TOO_LARGE -> HttpStatus.CONTENT_TOO_LARGE;
            case POLICY -> HttpStatus.CONFLICT;
            case UNREACHABLE -> HttpStatus.SERVICE_UNAVAILABLE;
        };
    }

    private static ResponseEntity<String> file(String name, MediaType type, String body) {
        return ResponseEntity.ok()
                .contentType(type)
                .header(HttpHeaders.CONTENT_DISPOSITION, attachment(name))
                .body(body);
    }

    private static String attachment(String name) {
        return "attachment; filename=\"" + name + "\"";
    }
}
