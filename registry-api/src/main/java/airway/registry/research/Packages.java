package airway.registry.research;

import airway.registry.access.Secret;
import airway.registry.access.Sites;
import airway.registry.database.Acting;
import airway.registry.database.ActorTransactions;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import jakarta.annotation.PreDestroy;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.UUID;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Consumer;
import org.jooq.DSLContext;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.scheduling.annotation.Scheduled;
import org.springframework.stereotype.Component;
import org.thymeleaf.ITemplateEngine;
import org.thymeleaf.context.Context;

/**
 * Packages of research data: made of an approved request, of exactly what was approved, and fetched once by the one who asked.
 */
@Component
public class Packages {
    /** How long a link serves. No file is kept for longer: of the same yes it can be made again. */
    static final Duration LINK = Duration.ofHours(1);

    private static final long HOUR_MS = 3_600_000;
    private static final Duration PATIENCE = Duration.ofSeconds(5);
    private static final Logger LOG = LoggerFactory.getLogger(Packages.class);

    private final ActorTransactions transactions;
    private final ITemplateEngine templates;
    private final Clock clock;
    private final Path folder;
    private final String software;
    private final PackageKeys keys;
    private final Map<UUID, Making> makings = new ConcurrentHashMap<>();

    Packages(
            ActorTransactions transactions,
            PackageKeys keys,
            ITemplateEngine templates,
            Clock clock,
            @Value("${airway.data-dir}") Path dataDirectory,
            @Value("${airway.version}") String software) {
        this.transactions = transactions;
        this.keys = keys;
        this.templates = templates;
        this.clock = clock;
        this.folder = dataDirectory.resolve("packages");
        this.software = software;
    }

    /**
     * A link to a package.
     *
     * @param secret what stands in the link; serves once
     */
    record Link(DataRequest request, String secret, Instant expires, PackageFile.Written file, int rows) {}

    /** A package to be sent. */
    record Sent(Path file, String name) {}

    /**
     * Makes the package and a link to it, for the one who asked.
     *
     * @throws Problem.Missing if there is no such request
     * @throws Problem.NotAllowed if somebody else asked for it
     * @throws Problem.NotApproved if nobody has said yes, or it was withdrawn
     * @throws Problem.ApprovalExpired if the approval it stands on is over
     * @throws Problem.DataChanged if the records are not any more what was approved
     * @throws Problem.BeingMade if it is being made already
     * @throws Problem.Cancelled if it was cancelled meanwhile; then nothing of it is left
     * @throws Problem.NotWritten if it could not be written; then nothing of it is left
     */
    Link link(UUID id) {
        return linked(own(id), words -> {});
    }

    private DataRequest own(UUID id) {
        DataRequest request = transactions.read(dsl -> new RequestStore(dsl).read(id));
        if (!Requests.own(request)) {
            throw new Problem.NotAllowed("Only who asked for these data may fetch them.");
        }
        return request;
    }

    /**
     * How far a package is that one asked for; empty while none is being made.
     *
     * @throws Problem.Missing if there is no such request
     * @throws Problem.NotAllowed if somebody else asked for it
     */
    Optional<Making> making(UUID id) {
        return Optional.ofNullable(makings.get(own(id).id()));
    }

    /** Cancels a package that one asked for, if it is being made. Refuses as {@link #making} does. */
    void cancel(UUID id) {
        making(id).ifPresent(Making::cancel);
    }

    private Link linked(DataRequest asked, Consumer<String> told) {
        Approval approval = asked.last().approval();
        Making making = new Making(approval == null ? 0 : approval.allowed(), told);
        if (makings.putIfAbsent(asked.id(), making) != null) {
            throw new Problem.BeingMade();
        }
        try {
            return linked(asked, making);
        } finally {
            makings.remove(asked.id());
        }
    }

    /** The program ends: what is being made is not finished, and nothing of it stays. */
    @PreDestroy
    void end() throws InterruptedException {
        makings.values().forEach(Making::cancel);
        long until = System.nanoTime() + PATIENCE.toNanos();
        while (!makings.isEmpty() && System.nanoTime() < until) {
            Thread.sleep(10);
        }
    }

    private Link linked(DataRequest asked, Making making) {
        Made made = make(asked, making);
        String secret = Secret.fresh();
        Instant expires = clock.instant().plus(LINK);
        DataRequest request = transactions.write(dsl -> {
            DataRequest now = ready(dsl, asked.id());
            if (now.version() != made.request().version()) {
                throw new Problem.DataChanged();
            }
            PackageStore store = new PackageStore(dsl);
            store.made(now, made.written(), made.rows(), software);
            store.link(now, made.written(), secret, expires);
            return now;
        });
        return new Link(request, secret, expires, made.written(), made.rows());
    }

    /**
     * Uses a link.
     *
     * @throws Problem.LinkSpent if it was used, is over, or is somebody else's
     * @throws Problem.NotApproved if the request was withdrawn since
     * @throws Problem.ApprovalExpired if the approval it stands on is over
     * @throws Problem.DataChanged if the records are not any more what was approved
     */
    Sent fetch(String secret) {
        PackageStore.Target target = transactions.read(dsl -> target(dsl, secret));
        DataRequest asked;
        try {
            asked = transactions.read(dsl -> ready(dsl, target.request()));
        } catch (Problem.ApprovalExpired e) {
            remove(transactions.read(dsl -> new RequestStore(dsl).read(target.request())));
            throw e;
        }
        Path file = file(asked);
        if (target.version() != asked.version() || !holds(file, target.sha256())) {
            throw new Problem.LinkSpent();
        }
        transactions.write(dsl -> {
            DataRequest now = ready(dsl, target.request());
            if (now.version() != target.version() || !new PackageStore(dsl).use(secret, now)) {
                throw new Problem.LinkSpent();
            }
            return now;
        });
        return new Sent(file, "airway-events-" + asked.id() + ".zip");
    }

    private PackageStore.Target target(DSLContext dsl, String secret) {
        return new PackageStore(dsl)
                .target(secret, Acting.current().actor(), clock.instant())
                .orElseThrow(Problem.LinkSpent::new);
    }

    /** A package for the command line. */
    public static final class Exported {
        private final Path file;
        private final List<String> words;

        private Exported(Path file, List<String> words) {
            this.file = file;
            this.words = words;
        }

        /**
         * Writes it into a stream, which stays open.
         *
         * @throws Problem.NotWritten if it cannot be written
         */
        public void writeTo(OutputStream out) {
            try {
                Files.copy(file, out);
                out.flush();
            } catch (IOException e) {
                throw new Problem.NotWritten(e);
            }
        }

        /**
         * Writes it into a new file, wholly or not at all.
         *
         * @throws Problem.NotWritten if it cannot be written, or the file is there
         */
        public void writeTo(Path out) {
            try {
                PackageFile.copy(file, out);
            } catch (IOException e) {
                throw new Problem.NotWritten(e);
            }
        }

        /** Sentences about it. */
        public List<String> words() {
            return words;
        }
    }

    /**
     * A package for the command line.
     *
     * @param request key of the request; null where the approval names only one
     * @param approval number of the approval that the request stands on
     * @param unit code of the unit; null for the home unit
     * @param told hears how far it is, now and then
     * @throws Problem.Missing if there is no such unit
     * @throws Problem.Malformed if several requests stand on that approval and none is named
     * @throws Problem.NotApproved if no request with a yes stands on that approval
     * @throws Problem.ApprovalExpired if the approval is over
     * @throws Problem.DataChanged if the records are not any more what was approved
     * @throws Problem.NotWritten if it could not be written; then nothing of it is left
     */
    public Exported export(@Nullable UUID request, String approval, @Nullable String unit, Consumer<String> told) {
        List<DataRequest> standing = transactions.read(dsl -> new RequestStore(dsl)
                .all(Sites.named(dsl, unit)).stream()
                        .filter(one -> one.status() == Step.Status.APPROVED
                                && one.terms().approvalReference().equals(approval)
                                && (request == null || one.id().equals(request)))
                        .toList());
        if (standing.isEmpty()) {
            throw new Problem.NotApproved();
        }
        if (standing.size() > 1) {
            throw new Problem.Malformed(Fault.parameter(
                    "request", "request.several", "Several requests stand on this approval; name one of them."));
        }
        Link link = linked(standing.get(0), told);
        return new Exported(
                fetch(link.secret()).file(),
                List.of(
                        (link.request().choice().profile() == Profile.INTERNAL_PSEUDONYMISED
                                        ? "Never leaves the organisation. "
                                        : "")
                                + link.rows() + " rows, for: "
                                + link.request().terms().recipient()
                                + ". The approval holds until "
                                + link.request().terms().approvalExpires() + ".",
                        "SHA-256 " + link.file().sha256()));
    }

    private record Made(DataRequest request, PackageFile.Written written, int rows) {}

    private Made make(DataRequest asked, Making making) {
        sweep();
        record Read(DataRequest request, List<Candidate> chosen) {}
        Read read = transactions.read(dsl -> {
            DataRequest request = ready(dsl, asked.id());
            return new Read(request, CandidateQuery.chosen(dsl, request, making::one));
        });
        DataRequest request = read.request();
        Choice choice = request.choice();
        Approval approval = Objects.requireNonNull(request.last().approval());
        making.begin(Making.Stage.JUDGING);
        Coarsening coarsening = Coarsening.of(choice, read.chosen(), approval.rare());
        if (coarsening.rows().size() != approval.allowed()) {
            throw new Problem.DataChanged();
        }
        Contents contents = Contents.of(coarsening, coarsening.at(approval.levels()), keys.of(request.id(), choice));
        if (!contents.digest().equals(approval.digest())) {
            throw new Problem.DataChanged();
        }
        making.begin(Making.Stage.WRITING);
        try {
            PackageFile.Written written = PackageFile.write(
                    file(request),
                    new Papers(request, approval, contents, software, page(contents.report())),
                    contents.released(),
                    making::one);
            return new Made(request, written, contents.released().rows().size());
        } catch (IOException e) {
            throw new Problem.NotWritten(e);
        }
    }

    private String page(RiskReport report) {
        Context context = new Context(Locale.UK);
        context.setVariable("report", RiskPage.of(report));
        return templates.process("research/risk-report", context);
    }

    /** A request of which a package may be made now. */
    private DataRequest ready(DSLContext dsl, UUID id) {
        RequestStore store = new RequestStore(dsl);
        DataRequest request = store.read(id);
        if (request.status() != Step.Status.APPROVED) {
            throw new Problem.NotApproved();
        }
        if (request.terms()
                .expiredOn(LocalDate.ofInstant(clock.instant(), request.site().zone()))) {
            throw new Problem.ApprovalExpired();
        }
        if (!store.unchanged(request, request.version())) {
            throw new Problem.DataChanged();
        }
        return request;
    }

    private Path file(DataRequest request) {
        return folder.resolve(request.id() + "-" + request.version() + ".zip");
    }

    private static boolean holds(Path file, String sha256) {
        try {
            return Files.exists(file) && PackageFile.sha256(file).equals(sha256);
        } catch (IOException e) {
            return false;
        }
    }

    /** Once an hour: no file outlives its links, so none of an approval that is over stays. */
    @Scheduled(fixedDelay = HOUR_MS)
    void hourly() {
        try {
            sweep();
        } catch (Problem.NotWritten e) {
            LOG.error("Packages whose links are over were not deleted; tried again in an hour.");
        }
    }

    private void sweep() {
        try {
            PackageFile.sweep(folder, LINK);
        } catch (IOException e) {
            throw new Problem.NotWritten(e);
        }
    }

    /** Takes the files of a request away: it was withdrawn. */
    void remove(DataRequest request) {
        try {
            for (Step step : request.steps()) {
                Files.deleteIfExists(folder.resolve(request.id() + "-" + step.version() + ".zip"));
            }
        } catch (IOException e) {
            throw new Problem.NotWritten(e);
        }
    }
}
