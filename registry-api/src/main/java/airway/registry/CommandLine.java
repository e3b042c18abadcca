package airway.registry;

import airway.registry.access.DemoTokens;
import airway.registry.access.RefusedByPolicy;
import airway.registry.demo.Demo;
import airway.registry.imports.ImportFile;
import airway.registry.imports.ImportRefused;
import airway.registry.imports.ImportReport;
import airway.registry.imports.Imports;
import airway.registry.imports.Take;
import airway.registry.verify.Verification;
import airway.sql.CannotStart;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
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
        return new picocli.CommandLine(line)
                .addSubcommand(new Serve(line))
                .addSubcommand(new Import(line))
                .addSubcommand(new InventedData(line))
                .addSubcommand(new Verify(line))
                .setExecutionExceptionHandler((e, failed, parsed) -> cannotStart(e))
                .execute(words.toArray(String[]::new));
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
            System.out.println("Ready at http://127.0.0.1:" + port + "/");
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
}
