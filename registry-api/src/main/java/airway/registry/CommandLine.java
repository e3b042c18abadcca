package airway.registry;

import airway.registry.access.DemoPeople;
import airway.registry.access.DemoTokens;
import airway.registry.access.RefusedByPolicy;
import airway.registry.access.Role;
import airway.registry.access.SignIn;
import airway.registry.access.Tokens;
import airway.registry.database.Acting;
import airway.registry.demo.Demo;
import airway.registry.imports.ImportFile;
import airway.registry.imports.ImportRefused;
import airway.registry.imports.ImportReport;
import airway.registry.imports.Imports;
import airway.registry.imports.Take;
import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import airway.registry.reports.ReportFiles;
import airway.registry.research.Packages;
import airway.registry.verify.Verification;
import airway.sql.CannotStart;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.UUID;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.slf4j.LoggerFactory;
import org.springframework.boot.Banner;
import org.springframework.boot.SpringApplication;
import org.springframework.boot.WebApplicationType;
import org.springframework.boot.web.server.PortInUseException;
import org.springframework.context.ApplicationListener;
import org.springframework.context.ConfigurableApplicationContext;
import org.springframework.context.event.ContextClosedEvent;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/**
 * The command line. Data go to standard output, words to standard error.
 *
 * <p>Exit codes: 0 done; 1 findings or rejected rows; 2 usage; 3 cannot start or reach; 4 refused by policy.
 */
@Command(
        name = "registry",
        description = "A registry of intubations with quality-improvement statistics.",
        mixinStandardHelpOptions = true,
        synopsisSubcommandLabel = "COMMAND")
final class CommandLine implements Runnable {
    private static final int FINDINGS = 1;
    private static final int CANNOT_START = 3;
    private static final int REFUSED = 4;

    /** Settings look like {@code --airway.data-dir=...}; the rest belongs to the command. */
    private static final List<String> SETTINGS = List.of("--airway.", "--server.", "--spring.", "--logging.");

    private final List<String> settings;

    @Spec
    @Nullable
    CommandSpec spec;

    private CommandLine(List<String> settings) {
        this.settings = settings;
    }

    static int run(String[] args) {
        List<String> settings = new ArrayList<>();
        List<String> words = new ArrayList<>();
        for (String arg : args) {
            (SETTINGS.stream().anyMatch(arg::startsWith) ? settings : words).add(arg);
        }
        CommandLine line = new CommandLine(settings);
        return Acting.asProgram(() -> new picocli.CommandLine(line)
                .addSubcommand(new Serve(line))
                .addSubcommand(new Import(line))
                .addSubcommand(new InventedData(line))
                .addSubcommand(new PrintReport(line))
                .addSubcommand(new Export(line))
                .addSubcommand(new Verify(line))
                .addSubcommand(new picocli.CommandLine(new Token()).addSubcommand(new Token.Create(line)))
                .setExecutionExceptionHandler((e, failed, parsed) -> cannotStart(e))
                .execute(words.toArray(String[]::new)));
    }

    @Override
    public void run() {
        throw new ParameterException(Objects.requireNonNull(spec).commandLine(), "Name a command.");
    }

    /** Starts the program for one command. */
    ConfigurableApplicationContext start(String command) {
        SpringApplication application = new SpringApplication(RegistryApplication.class);
        application.setWebApplicationType(
                command.equals("serve") ? WebApplicationType.SERVLET : WebApplicationType.NONE);
        application.setBannerMode(Banner.Mode.OFF);
        application.setLogStartupInfo(false);
        application.setDefaultProperties(Map.of("airway.command", command));
        return application.run(settings.toArray(String[]::new));
    }

    /** Tells in one line that it takes a moment, and how it went. */
    private static void fill(Demo demo, long seed, int months) {
        long begun = System.nanoTime();
        System.err.print("Storing invented records ... ");
        int added = demo.fill(seed, months);
        System.err.println(added + " in " + TimeUnit.NANOSECONDS.toSeconds(System.nanoTime() - begun) + " s");
    }

    private static int cannotStart(Exception e) {
        for (Throwable cause = e; cause != null; cause = cause.getCause()) {
            if (cause instanceof CannotStart known) {
                System.err.println(known.getMessage());
                return CANNOT_START;
            }
            if (cause instanceof RefusedByPolicy refused) {
                System.err.println(refused.getMessage());
                return REFUSED;
            }
            if (cause instanceof PortInUseException port) {
                System.err.println("Port " + port.getPort()
                        + " is in use by another program; stop that one, or choose another with --server.port.");
                return CANNOT_START;
            }
        }
        Throwable root = e;
        while (root.getCause() != null) {
            root = root.getCause();
        }
        LoggerFactory.getLogger(CommandLine.class).debug("cannot start", e);
        System.err.println("The registry cannot start: " + root.getClass().getSimpleName() + ", "
                + String.valueOf(root.getMessage()).lines().findFirst().orElse("no reason given"));
        return CANNOT_START;
    }

    /** Serves pages and API until it is stopped. */
    @Command(name = "serve", description = "Serve pages and API until stopped.", mixinStandardHelpOptions = true)
    static final class Serve implements Callable<Integer> {
        private final CommandLine line;

        Serve(CommandLine line) {
            this.line = line;
        }

        @Override
        public Integer call() throws InterruptedException {
            CountDownLatch stopped = new CountDownLatch(1);
            ConfigurableApplicationContext context = line.start("serve");
            context.addApplicationListener((ApplicationListener<ContextClosedEvent>) event -> stopped.countDown());
            Demo demo = context.getBean(Demo.class);
            if (context.getEnvironment().getRequiredProperty("airway.demo", Boolean.class)
                    && demo.free()
                    && !demo.filled()) {
                fill(demo, Demo.SEED, Demo.MONTHS);
            }
            context.getBean(DemoTokens.class).write();
            String port = context.getEnvironment().getRequiredProperty("local.server.port");
            String address = "http://127.0.0.1:" + port + "/";
            if (!context.getEnvironment().getRequiredProperty("airway.demo", Boolean.class)) {
                context.getBean(SignIn.class)
                        .setUpCode()
                        .ifPresent(code -> System.out.println(
                                "Nobody administers this register yet. For the next " + SignIn.SET_UP.toMinutes()
                                        + " minutes, whoever types this code at " + address + "join does: " + code));
            }
            System.out.println("Ready at " + address);
            stopped.await();
            return 0;
        }
    }

    /** Takes old records from a table. */
    @Command(
            name = "import",
            description = "Take old records from a table (CSV), as a mapping file says.",
            mixinStandardHelpOptions = true)
    static final class Import implements Callable<Integer> {
        private final CommandLine line;

        @Parameters(paramLabel = "FILE", description = "The table: CSV, UTF-8, names of columns in the first line.")
        @Nullable
        Path file;

        @Option(names = "--mapping", required = true, paramLabel = "FILE", description = "What each column means.")
        @Nullable
        Path mapping;

        @ArgGroup
        @Nullable
        How how;

        /** What is done with the rows, if not to take every good one. */
        static final class How {
            @Option(names = "--dry-run", description = "Only check: tell what would be taken and what is to be mended.")
            boolean dryRun;

            @Option(names = "--all-or-nothing", description = "Take no row unless every row is good.")
            boolean allOrNothing;
        }

        Import(CommandLine line) {
            this.line = line;
        }

        @Override
        public Integer call() {
            try {
                ImportFile read = ImportFile.read(Objects.requireNonNull(file), Objects.requireNonNull(mapping));
                try (ConfigurableApplicationContext context = line.start("import")) {
                    ImportReport report;
                    try (ImportOutput output = new ImportOutput(take())) {
                        report = context.getBean(Imports.class).run(read, take(), output);
                        output.end(report);
                    }
                    context.getBean(DemoPeople.class).openNewUnits();
                    report.words().forEach(System.err::println);
                    return report.rejected() == 0 ? 0 : FINDINGS;
                }
            } catch (ImportRefused e) {
                System.err.println(e.sentence());
                return e.exitCode();
            }
        }

        private Take take() {
            if (how == null) {
                return Take.GOOD_ROWS;
            }
            return how.dryRun ? Take.CHECK_ONLY : Take.ALL_OR_NOTHING;
        }
    }

    /** Fills an empty registry with invented data. */
    @Command(name = "demo", description = "Fill an empty registry with invented data.", mixinStandardHelpOptions = true)
    static final class InventedData implements Callable<Integer> {
        private final CommandLine line;

        @Option(
                names = "--seed",
                paramLabel = "N",
                description = "Other numbers, other data. Default: ${DEFAULT-VALUE}.")
        long seed = Demo.SEED;

        @Option(
                names = "--months",
                paramLabel = "N",
                description = "Full months before the present one, 1 to 240. Default: ${DEFAULT-VALUE}.")
        int months = Demo.MONTHS;

        @Spec
        @Nullable
        CommandSpec spec;

        InventedData(CommandLine line) {
            this.line = line;
        }

        @Override
        public Integer call() {
            if (months < 1 || months > 240) {
                throw new ParameterException(Objects.requireNonNull(spec).commandLine(), "--months is 1 to 240.");
            }
            try (ConfigurableApplicationContext context = line.start("demo")) {
                Demo demo = context.getBean(Demo.class);
                if (!demo.free()) {
                    System.err.println("The registry holds units of its own; invented data go into an empty one.");
                    return REFUSED;
                }
                fill(demo, seed, months);
                return 0;
            }
        }
    }

    /** Prints the report of a quarter. */
    @Command(
            name = "report",
            description = "Print the report of a quarter: to standard output, or into a file.",
            mixinStandardHelpOptions = true)
    static final class PrintReport implements Callable<Integer> {
        private final CommandLine line;

        @Option(names = "--quarter", required = true, paramLabel = "QUARTER", description = "As 2026-Q3.")
        @Nullable
        String quarter;

        @Option(names = "--unit", paramLabel = "CODE", description = "The unit. Default: the first one.")
        @Nullable
        String unit;

        @Option(names = "--format", paramLabel = "FORM", description = "html, pdf or json. Default: ${DEFAULT-VALUE}.")
        String format = "html";

        @Option(
                names = "--readers",
                paramLabel = "WHO",
                description =
                        "unit: with all counts; board: whole years, small counts hidden. Default: ${DEFAULT-VALUE}.")
        String readers = "unit";

        @Option(names = "--out", paramLabel = "FILE", description = "Where to write it; a file that is there is kept.")
        @Nullable
        Path out;

        @Spec
        @Nullable
        CommandSpec spec;

        PrintReport(CommandLine line) {
            this.line = line;
        }

        @Override
        public Integer call() throws IOException {
            if (out != null && Files.exists(out)) {
                throw usage("--out names a file that is there already; name another one.");
            }
            try (ConfigurableApplicationContext context = line.start("report")) {
                ReportFiles.File file =
                        context.getBean(ReportFiles.class).of(unit, String.valueOf(quarter), format, readers);
                if (out == null) {
                    file.writeTo(System.out);
                } else {
                    try (OutputStream kept = Files.newOutputStream(out, StandardOpenOption.CREATE_NEW)) {
                        file.writeTo(kept);
                    }
                }
                file.words().forEach(System.err::println);
                return 0;
            } catch (Problem.Malformed | Problem.Invalid | Problem.Missing e) {
                Fault fault = e.faults().get(0);
                throw usage("--" + (fault.path().equals("site_id") ? "unit" : fault.path()) + ": " + fault.mend());
            }
        }

        private ParameterException usage(String words) {
            return new ParameterException(Objects.requireNonNull(spec).commandLine(), words);
        }
    }

    /** Writes a package of research data that was asked for and approved. */
    @Command(
            name = "export",
            description =
                    "Write a package of research data (ZIP) that was asked for and approved on the pages or by the API.",
            mixinStandardHelpOptions = true)
    static final class Export implements Callable<Integer> {
        private final CommandLine line;

        @Option(
                names = "--approval",
                paramLabel = "NUMBER",
                description = "Number of the approval that the request stands on; without it nothing is written.")
        @Nullable
        String approval;

        @Option(
                names = "--request",
                paramLabel = "KEY",
                description = "The request; needed where several stand on this approval.")
        @Nullable
        UUID request;

        @Option(names = "--unit", paramLabel = "CODE", description = "The unit. Default: the first one.")
        @Nullable
        String unit;

        @Option(
                names = "--out",
                paramLabel = "FILE",
                description = "Where to write it; a file that is there is kept. Default: standard output.")
        @Nullable
        Path out;

        @Spec
        @Nullable
        CommandSpec spec;

        Export(CommandLine line) {
            this.line = line;
        }

        @Override
        public Integer call() throws IOException {
            if (out != null && Files.exists(out)) {
                throw usage("--out names a file that is there already; name another one.");
            }
            if (approval == null || approval.isBlank()) {
                throw new RefusedByPolicy("Data for research leave only under an approval: name it with --approval.");
            }
            try (ConfigurableApplicationContext context = line.start("export")) {
                Packages packages = context.getBean(Packages.class);
                Packages.Exported exported = packages.export(request, approval, unit, System.err::println);
                if (out == null) {
                    exported.writeTo(System.out);
                } else {
                    exported.writeTo(out);
                }
                exported.words().forEach(System.err::println);
                return 0;
            } catch (Problem.NotApproved | Problem.ApprovalExpired | Problem.DataChanged e) {
                throw new RefusedByPolicy(e.title() + ". " + e.detail());
            } catch (Problem.NotWritten e) {
                System.err.println(e.detail());
                return CANNOT_START;
            } catch (Problem.Malformed | Problem.Missing e) {
                Fault fault = e.faults().get(0);
                throw usage("--" + (fault.path().equals("site_id") ? "unit" : fault.path()) + ": " + fault.mend());
            }
        }

        private ParameterException usage(String words) {
            return new ParameterException(Objects.requireNonNull(spec).commandLine(), words);
        }
    }

    /** Looks whether everything stored is as it should be. */
    @Command(
            name = "verify",
            description = "Look whether everything stored is as it should be.",
            mixinStandardHelpOptions = true)
    static final class Verify implements Callable<Integer> {
        private final CommandLine line;

        Verify(CommandLine line) {
            this.line = line;
        }

        @Override
        public Integer call() {
            try (ConfigurableApplicationContext context = line.start("verify")) {
                Verification.Report report = context.getBean(Verification.class).report();
                List<String> findings = report.findings();
                System.out.println(findings.size());
                findings.forEach(System.err::println);
                System.err.println(report.reach());
                System.err.println(
                        findings.isEmpty()
                                ? "Everything is as it should be."
                                : "Keep the data directory as it is and restore from a backup, or ask whoever runs the"
                                        + " database what was changed in it.");
                return findings.isEmpty() ? 0 : FINDINGS;
            }
        }
    }

    /** Secrets by which other programs use the API. */
    @Command(
            name = "token",
            description = "Secrets by which other programs use the API.",
            mixinStandardHelpOptions = true,
            synopsisSubcommandLabel = "COMMAND")
    static final class Token implements Runnable {
        @Spec
        @Nullable
        CommandSpec spec;

        @Override
        public void run() {
            throw new ParameterException(Objects.requireNonNull(spec).commandLine(), "Name a command: create.");
        }

        /** Makes a token and prints it. */
        @Command(
                name = "create",
                description = "Make a token and print it; it cannot be shown again.",
                mixinStandardHelpOptions = true)
        static final class Create implements Callable<Integer> {
            private static final Pattern SPAN = Pattern.compile("([1-9]\\d{0,5})([mhd])");

            private final CommandLine line;

            @Option(
                    names = "--role",
                    required = true,
                    paramLabel = "ROLE",
                    description = "What it may do: recorder, improvement_lead, researcher, data_guardian, kit_keeper,"
                            + " administrator or auditor.")
            @Nullable
            String role;

            @Option(
                    names = "--site",
                    paramLabel = "CODE",
                    description = "The unit; none for administrator and auditor.")
            @Nullable
            String site;

            @Option(
                    names = "--expires",
                    required = true,
                    paramLabel = "SPAN",
                    description = "How long it serves: minutes, hours or days, as 30m, 8h, 1d; at most 366d.")
            @Nullable
            String expires;

            @Option(names = "--title", paramLabel = "WORDS", description = "What it is for. Default: ${DEFAULT-VALUE}.")
            String title = "Made on the command line";

            @Spec
            @Nullable
            CommandSpec spec;

            Create(CommandLine line) {
                this.line = line;
            }

            @Override
            public Integer call() {
                Role chosen = Role.of(String.valueOf(role)).orElseThrow(() -> usage("There is no such role."));
                Duration serves = serves(String.valueOf(expires));
                try (ConfigurableApplicationContext context = line.start("token")) {
                    System.out.println(context.getBean(Tokens.class).make(title, chosen, site, serves));
                    System.err.println("Keep it like a password: it is shown this once.");
                    return 0;
                } catch (Problem.Invalid e) {
                    throw usage(e.faults().get(0).mend());
                }
            }

            private Duration serves(String typed) {
                Matcher span = SPAN.matcher(typed);
                if (!span.matches()) {
                    throw usage("--expires is a number with m, h or d, for example 1d.");
                }
                long number = Long.parseLong(span.group(1));
                return switch (span.group(2)) {
                    case "m" -> Duration.ofMinutes(number);
                    case "h" -> Duration.ofHours(number);
                    default -> Duration.ofDays(number);
                };
            }

            private ParameterException usage(String words) {
                return new ParameterException(Objects.requireNonNull(spec).commandLine(), words);
            }
        }
    }
}
