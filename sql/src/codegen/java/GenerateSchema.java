import airway.sql.LocalPostgres;
import airway.sql.Login;
import airway.sql.Migrations;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.Comparator;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Stream;
import org.jooq.codegen.GenerationTool;
import org.jooq.meta.jaxb.Configuration;
import org.jooq.meta.jaxb.Database;
import org.jooq.meta.jaxb.Generate;
import org.jooq.meta.jaxb.Generator;
import org.jooq.meta.jaxb.Jdbc;
import org.jooq.meta.jaxb.Logging;
import org.jooq.meta.jaxb.MatcherRule;
import org.jooq.meta.jaxb.MatcherTransformType;
import org.jooq.meta.jaxb.Matchers;
import org.jooq.meta.jaxb.MatchersSchemaType;
import org.jooq.meta.jaxb.MatchersTableType;
import org.jooq.meta.jaxb.SchemaMappingType;
import org.jooq.meta.jaxb.Strategy;
import org.jooq.meta.jaxb.Target;

/** Migrations, a throw-away PostgreSQL, jOOQ classes. Run by the build as a single source file. */
class GenerateSchema {
    public static void main(String[] args) throws Exception {
        Path migrations = Path.of(args[0]);
        Path out = Path.of(args[1]);
        Path stamp = out.resolve(".stamp");
        String fingerprint = fingerprint(migrations, Path.of(args[2]));
        if (Files.exists(stamp) && Files.readString(stamp).equals(fingerprint)) {
            return;
        }
        Path home = Files.createTempDirectory("schema");
        try (LocalPostgres server = LocalPostgres.start(home, null)) {
            Migrations.migrate(server.owner(), server.app().user(), "filesystem:" + migrations);
            generate(server.owner(), out);
        } finally {
            try (Stream<Path> files = Files.walk(home)) {
                files.sorted(Comparator.reverseOrder())
                        .forEach(file -> file.toFile().delete());
            }
        }
        Files.writeString(stamp, fingerprint);
    }

    private static void generate(Login owner, Path out) throws Exception {
        List<SchemaMappingType> schemas = Stream.of(
                        "access",
                        "encounter",
                        "audit",
                        "analysis",
                        "quality",
                        "imports",
                        "changes",
                        "reviews",
                        "aims",
                        "reports",
                        "charts",
                        "session",
                        "identity",
                        "release",
                        "kit",
                        "research")
                .map(name -> new SchemaMappingType().withInputSchema(name))
                .toList();
        GenerationTool.generate(new Configuration()
                .withLogging(Logging.WARN)
                .withJdbc(new Jdbc().withUrl(owner.url()).withUser(owner.user()).withPassword(owner.password()))
                .withGenerator(new Generator()
                        .withStrategy(new Strategy()
                                .withMatchers(new Matchers()
                                        .withSchemas(new MatchersSchemaType()
                                                .withSchemaClass(new MatcherRule()
                                                        .withTransform(MatcherTransformType.PASCAL)
                                                        .withExpression("$0_schema")))
                                        .withTables(new MatchersTableType()
                                                .withTableClass(new MatcherRule()
                                                        .withTransform(MatcherTransformType.PASCAL)
                                                        .withExpression("$0_table")))))
                        .withDatabase(new Database()
                                .withName("org.jooq.meta.postgres.PostgresDatabase")
                                .withSchemata(schemas))
                        .withGenerate(new Generate()
                                .withRecords(false)
                                .withPojos(false)
                                .withDaos(false)
                                .withJavaTimeTypes(true)
                                .withGeneratedAnnotation(false)
                                .withComments(false))
                        .withTarget(new Target()
                                .withPackageName("airway.sql.generated")
                                .withDirectory(out.toString())
                                .withClean(true))));
    }

    private static String fingerprint(Path migrations, Path generator) throws Exception {
        MessageDigest digest = MessageDigest.getInstance("SHA-256");
        digest.update(org.jooq.Constants.FULL_VERSION.getBytes());
        digest.update(Files.readAllBytes(generator));
        try (Stream<Path> files = Files.list(migrations)) {
            for (Path file : files.sorted().toList()) {
                digest.update(file.getFileName().toString().getBytes());
                digest.update(Files.readAllBytes(file));
            }
        }
        return HexFormat.of().formatHex(digest.digest());
    }
}
