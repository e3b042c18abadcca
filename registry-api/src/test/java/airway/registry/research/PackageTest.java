package airway.registry.research;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import airway.registry.access.Site;
import airway.registry.cohort.Cohort;
import airway.registry.problem.Problem;
import airway.stats.disclosure.Generalisation;
import com.google.common.jimfs.Configuration;
import com.google.common.jimfs.Jimfs;
import com.networknt.schema.SchemaLocation;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SchemaRegistryConfig;
import com.networknt.schema.SpecificationVersion;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.NamedCsvRecord;
import java.io.BufferedReader;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileSystem;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.ResultSetMetaData;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.time.LocalDate;
import java.time.YearMonth;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TimeZone;
import java.util.UUID;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import java.util.zip.ZipFile;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** A package as a file: what stands in it, read by others, attacked by an intruder, and never half there. */
class PackageTest {
    private static final int CHILDREN = 500;
    private static final Site UNIT = new Site((short) 1, "quay", "Quay unit", "picu", ZoneId.of("UTC"), true);

    @TempDir
    Path folder = Path.of("");

    private final List<Candidate> children = children();

    /** Invented: many are young, as in intensive care; two years; every eighth has a severe event. */
    private static List<Candidate> children() {
        SplittableRandom random = new SplittableRandom(2_026);
        List<Candidate> children = new ArrayList<>();
        for (int i = 0; i < CHILDREN; i++) {
            boolean severe = random.nextInt(8) == 0;
            children.add(new Candidate(
                    new UUID(random.nextLong(), random.nextLong()),
                    1,
                    "child " + i,
                    true,
                    YearMonth.of(2024, 1).plusMonths(random.nextInt(24)),
                    LocalDate.of(2024, 2, 3),
                    (int) (6_570 * Math.pow(random.nextDouble(), 4)),
                    new BigDecimal("8.2"),
                    "f",
                    "apnoea",
                    "no",
                    "25_100",
                    severe,
                    false,
                    List.of(
                            random.nextInt(4) > 0 ? "yes" : random.nextInt(3) == 0 ? Missing.UNKNOWN : "no",
                            "1",
                            random.nextInt(5) == 0 ? Missing.NOT_RECORDED : "90-100",
                            severe ? "yes" : "no",
                            severe ? "yes" : "no",
                            i < 2 ? "stylet" : "direct",
                            "straight")));
        }
        return children;
    }

    private Coarsening coarsening() {
        return Coarsening.of(choice(Profile.CONTROLLED, false), children, children);
    }

    private static Choice choice(Profile profile, boolean safeHarbor) {
        return new Choice(
                profile,
                safeHarbor,
                List.of(KnownVariable.AGE_DAYS, KnownVariable.ENCOUNTER_START, KnownVariable.WEIGHT_KG),
                List.of(Answer.FPS, Answer.SPO2_LOWEST, Answer.DEVICE_MODE),
                new Cohort(List.of(UNIT), null, null, Map.of(), Set.of()),
                null);
    }

    private static Contents contents(Coarsening coarsening) {
        return Contents.of(coarsening, coarsening.coarse(Earlier.NONE).orElseThrow(), null);
    }

    private static Papers papers(Contents contents) {
        Approval approval = new Approval(
                contents.report().found().levels(),
                Map.of(),
                CHILDREN,
                CHILDREN,
                contents.report().found().removed().size(),
                null,
                0,
                contents.digest(),
                Instant.parse("2026-11-24T12:00:00Z"),
                new Approval.Head(17, "ab".repeat(32)));
        DataRequest request = new DataRequest(
                new UUID(1, 2),
                contents.report().coarsening().choice(),
                new Terms("First passes by age", "Project, \"first\"", "EC 1", LocalDate.of(2027, 12, 31)),
                7,
                Instant.parse("2026-11-24T11:00:00Z"),
                List.of(new Step(2, Step.Status.APPROVED, null, 8, Instant.parse("2026-11-24T12:00:00Z"), approval)),
                List.of());
        return new Papers(request, approval, contents, "1", "<p>report</p>");
    }

    private Map<String, byte[]> written(Contents contents) throws IOException {
        Path file = folder.resolve("one.zip");
        PackageFile.write(file, papers(contents), contents.released(), () -> {});
        return RequestWebTest.unzipped(Files.readAllBytes(file));
    }

    /** The Parquet file as an engine in C++ by other people reads it: the rows one by one, null where there is no value. */
    private List<List<String>> read(byte[] parquet) throws IOException, SQLException {
        Path file = Files.write(folder.resolve("events.parquet"), parquet);
        List<List<String>> rows = new ArrayList<>();
        try (Connection duck = DriverManager.getConnection("jdbc:duckdb:");
                Statement statement = duck.createStatement();
                ResultSet found = statement.executeQuery("select * from read_parquet('" + file + "')")) {
            ResultSetMetaData about = found.getMetaData();
            List<String> names = new ArrayList<>();
            for (int i = 1; i <= about.getColumnCount(); i++) {
                names.add(about.getColumnName(i) + " " + about.getColumnTypeName(i));
            }
            rows.add(names);
            while (found.next()) {
                List<String> row = new ArrayList<>();
                for (int i = 1; i <= names.size(); i++) {
                    row.add(String.valueOf(found.getString(i)));
                }
                rows.add(row);
            }
        }
        return rows;
    }

    @Test
    void tellsTheSameRowsAsParquetToALibraryOfOthers() throws IOException, SQLException {
        Map<String, byte[]> parts = written(contents(coarsening()));
        List<List<String>> expected = new ArrayList<>();
        for (NamedCsvRecord row : rows(parts)) {
            if (expected.isEmpty()) {
                expected.add(
                        row.getHeader().stream().map(name -> name + " VARCHAR").toList());
            }
            expected.add(row.getFields().stream()
                    .map(text -> text.isEmpty() ? "null" : text)
                    .toList());
        }
        assertThat(expected.toString()).contains("null");
        assertThat(read(parts.getOrDefault("data/events.parquet", new byte[0]))).isEqualTo(expected);
    }

    /** More rows than one part of the file holds, more values than one byte numbers, and a column in which nothing was recorded. */
    @Test
    void writesParquetInPartsWhateverTheValues() throws IOException, SQLException {
        List<List<String>> rows = new ArrayList<>();
        for (int i = 0; i < 100_300; i++) {
            rows.add(List.of("value " + i / 3 % 1_000, i % 7 == 0 ? "" : "same", "", i > 100_000 ? "\u00e9" : ""));
        }
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        ParquetRows.write(out, List.of("many", "one", "none", "late"), rows);
        List<List<String>> read = read(out.toByteArray());
        assertThat(read.subList(1, read.size())
                        .equals(rows.stream()
                                .map(row -> row.stream()
                                        .map(text -> text.isEmpty() ? "null" : text)
                                        .toList())
                                .toList()))
                .isTrue();
    }

    private static Pseudonyms pseudonyms(String project) {
        return new Pseudonyms("not a secret of anybody's: a test".getBytes(StandardCharsets.UTF_8), project);
    }

    private static Candidate again(Candidate one, UUID encounter, String patient, @Nullable LocalDate day) {
        return new Candidate(
                encounter,
                one.version(),
                patient,
                one.allowed(),
                one.month(),
                day,
                one.ageDays(),
                one.weight(),
                one.sex(),
                one.indication(),
                one.mouthOpening(),
                one.experience(),
                one.severe(),
                one.named(),
                one.answers());
    }

    /** Rows of one child have one pseudonym, which is of this package alone; the day is another one, and no year tells it. */
    @Test
    void keepsChildrenApartByPseudonymsInsideTheOrganisation() throws IOException {
        for (int i = 0; i < CHILDREN; i += 2) {
            Candidate one = children.get(i);
            children.add(again(one, new UUID(7, i), one.patient(), LocalDate.of(2024, 2, 5)));
        }
        Coarsening coarsening = Coarsening.of(choice(Profile.INTERNAL_PSEUDONYMISED, false), children, children);
        Generalisation found = coarsening.coarse(Earlier.NONE).orElseThrow();
        Contents contents = Contents.of(coarsening, found, pseudonyms("one"));
        Map<String, byte[]> parts = written(contents);
        List<NamedCsvRecord> rows = rows(parts);

        assertThat(rows.get(0).getHeader())
                .startsWith("patient_code", "encounter_start", "age_days")
                .doesNotHaveDuplicates();
        Map<String, List<LocalDate>> days = new HashMap<>();
        for (NamedCsvRecord row : rows) {
            assertThat(row.getField("patient_code")).matches("[a-z2-7]{26}");
            days.computeIfAbsent(row.getField("patient_code"), none -> new ArrayList<>())
                    .add(LocalDate.parse(row.getField("encounter_start")));
        }
        assertThat(days.size()).isEqualTo((int) found.classes().patients());
        assertThat(days.values())
                .as("the time between two rows of a child is as it was")
                .allSatisfy(
                        of -> assertThat(of.size() == 1 || of.get(0).plusDays(2).equals(of.get(1)))
                                .isTrue())
                .anySatisfy(of -> assertThat(of).hasSize(2));
        assertThat(days.values().stream().map(of -> of.get(0)).distinct().count())
                .isGreaterThan(100);
        assertThat(days.values().stream().flatMap(List::stream))
                .allSatisfy(day ->
                        assertThat(day).isBefore(LocalDate.of(2024, 2, 5)).isAfter(LocalDate.of(2023, 2, 3)));
        JsonNode report = new JsonMapper().readTree(parts.getOrDefault("risk-report.json", new byte[0]));
        assertThat(report.path("rows_of_a_child_can_be_joined").asBoolean()).isTrue();
        assertThat(report.path("k").asInt()).isGreaterThanOrEqualTo(3);
        assertThat(report.at("/intruder/found").asDouble())
                .isPositive()
                .isLessThanOrEqualTo(report.path("prosecutor_average").asDouble() + 1e-9);
        assertThat(new String(parts.getOrDefault("README.md", new byte[0]), StandardCharsets.UTF_8))
                .contains("Never leaves the organisation");
        assertThat(new JsonMapper()
                        .readTree(parts.getOrDefault("datapackage.json", new byte[0]))
                        .at("/resources/0/schema/fields/1/type")
                        .asString())
                .isEqualTo("date");
        Set<String> others = new HashSet<>();
        Contents.of(coarsening, found, pseudonyms("two")).released().rows().forEach(row -> others.add(row.get(0)));
        assertThat(others).hasSameSizeAs(days.keySet()).doesNotContainAnyElementsOf(days.keySet());
        children.replaceAll(one -> again(
                one, one.encounter(), new StringBuilder(one.patient()).reverse().toString(), one.day()));
        Coarsening later = Coarsening.of(choice(Profile.INTERNAL_PSEUDONYMISED, false), children, children);
        assertThat(Contents.of(later, found, pseudonyms("one")).digest())
                .as("the same when what the records of a child share is made with another key")
                .isEqualTo(contents.digest());
    }

    /** Of the eighteen kinds of identifier of 45 CFR 164.514(b)(2): no date finer than a year, no code made of a child. */
    @Test
    void tellsNoDayAndNoCodeUnderTheSafeHarbor() throws IOException {
        Coarsening coarsening = Coarsening.of(choice(Profile.INTERNAL_PSEUDONYMISED, true), children, children);
        assertThat(coarsening.choice().pseudonymised()).isFalse();
        Map<String, byte[]> parts = written(contents(coarsening));

        List<NamedCsvRecord> rows = rows(parts);
        assertThat(rows.get(0).getHeader()).doesNotContain("patient_code");
        assertThat(rows.stream().map(row -> row.findField("encounter_start").orElse("2024")))
                .allMatch(told -> told.matches("\\d{4}(-\\d{4})?"));
        assertThat(new String(parts.getOrDefault("README.md", new byte[0]), StandardCharsets.UTF_8))
                .contains("Never leaves the organisation", "Nothing finer than a year");
    }

    @Test
    void leavesNothingWhereItIsCancelledInTheMiddle() throws IOException {
        Contents contents = contents(coarsening());
        List<String> told = new ArrayList<>();
        Making making = new Making(CHILDREN, told::add);
        making.begin(Making.Stage.WRITING);
        AtomicInteger rows = new AtomicInteger();
        Path file = folder.resolve("cancelled.zip");

        assertThatThrownBy(() -> PackageFile.write(file, papers(contents), contents.released(), () -> {
                    making.one();
                    if (rows.incrementAndGet() == 100) {
                        making.cancel();
                    }
                }))
                .isInstanceOf(Problem.Cancelled.class);

        assertThat(making.done()).isEqualTo(101);
        assertThat(told).containsExactly("Writing the rows: 0 of 500.");
        try (Stream<Path> left = Files.list(folder)) {
            assertThat(left).isEmpty();
        }
    }

    @Test
    void takesAwayFilesWhoseLinksAreOver() throws IOException {
        for (String name : List.of("old.zip", "old.part", "fresh.part", "fresh.zip", "old.txt")) {
            Path file = Files.writeString(folder.resolve(name), name);
            if (name.startsWith("old")) {
                Files.setLastModifiedTime(
                        file, FileTime.from(Instant.now().minus(Packages.LINK).minusSeconds(60)));
            }
        }
        PackageFile.sweep(folder, Packages.LINK);
        try (Stream<Path> left = Files.list(folder)) {
            assertThat(left.map(file -> file.getFileName().toString()))
                    .containsExactlyInAnyOrder("fresh.zip", "old.txt");
        }
    }

    /** Writes a package until it is stopped; for {@link #leavesNothingHalfWrittenWhereItIsStoppedOrKilled}. */
    static final class Halfway {
        private Halfway() {}

        public static void main(String[] args) throws IOException {
            PackageTest test = new PackageTest();
            Contents contents = contents(test.coarsening());
            PackageFile.write(Path.of(args[0]), papers(contents), contents.released(), () -> {
                System.out.println("half");
                try {
                    new CountDownLatch(1).await();
                } catch (InterruptedException e) {
                    throw new IllegalStateException(e);
                }
            });
        }
    }

    private static Process halfway(Path file) throws IOException {
        Process process = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-cp",
                        System.getProperty("java.class.path"),
                        Halfway.class.getName(),
                        file.toString())
                .redirectError(ProcessBuilder.Redirect.DISCARD)
                .start();
        BufferedReader said = process.inputReader();
        String line = said.readLine();
        while (line != null && !line.equals("half")) {
            line = said.readLine();
        }
        assertThat(line).isEqualTo("half");
        return process;
    }

    /** Two programs: one is told to end, the other is killed and cannot tidy up; the next one to come does. */
    @Test
    void leavesNothingHalfWrittenWhereItIsStoppedOrKilled() throws IOException, InterruptedException {
        Process stopped = halfway(folder.resolve("one.zip"));
        Process killed = halfway(folder.resolve("two.zip"));
        try {
            assertThat(halves()).hasSize(2);
            PackageFile.sweep(folder, Packages.LINK);
            assertThat(halves()).as("others are writing them").hasSize(2);

            stopped.destroy();
            assertThat(stopped.waitFor(20, TimeUnit.SECONDS)).isTrue();
            assertThat(halves()).as("told to end").hasSize(1);

            killed.destroyForcibly();
            assertThat(killed.waitFor(20, TimeUnit.SECONDS)).isTrue();
            assertThat(halves()).as("killed").hasSize(1);
        } finally {
            stopped.destroyForcibly();
            killed.destroyForcibly();
        }
        Path foreign = Files.createFile(folder.resolve("a-film.part"));
        Path whole =
                Files.writeString(Files.createDirectory(folder.resolve("made")).resolve("whole.zip"), "whole");
        PackageFile.copy(whole, folder.resolve("three.zip"));
        assertThat(halves()).as("the next one takes away what is its own").containsExactly(foreign);
        assertThat(folder.resolve("three.zip")).hasContent("whole");
    }

    private List<Path> halves() throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.filter(file -> file.toString().endsWith(".part")).toList();
        }
    }

    @Test
    void keepsWhatItIsWritingItselfWhenItTidiesUp() throws IOException {
        Contents contents = contents(coarsening());
        Path file = folder.resolve("one.zip");
        PackageFile.write(file, papers(contents), contents.released(), () -> {
            try {
                PackageFile.sweep(folder, Packages.LINK);
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        });
        assertThat(file).exists();
        assertThat(halves()).isEmpty();
    }

    /** A disk that is full when half of the file is there. */
    @Test
    void leavesNothingOnADiskThatIsFull() throws IOException {
        Contents contents = contents(coarsening());
        Path whole = folder.resolve("whole.zip");
        long bytes = PackageFile.write(whole, papers(contents), contents.released(), () -> {})
                .bytes();
        try (FileSystem disk = Jimfs.newFileSystem(Configuration.unix().toBuilder()
                .setAttributeViews("basic", "posix")
                .setBlockSize(512)
                .setMaxSize(bytes / 2)
                .build())) {
            Path packages = disk.getPath("/packages");
            assertThatThrownBy(() -> PackageFile.write(
                            packages.resolve("one.zip"), papers(contents), contents.released(), () -> {}))
                    .isInstanceOf(IOException.class)
                    .hasMessageContaining("space");
            try (Stream<Path> left = Files.list(packages)) {
                assertThat(left).isEmpty();
            }
        }
    }

    private static List<NamedCsvRecord> rows(Map<String, byte[]> parts) {
        return CsvReader.builder()
                .ofNamedCsvRecord(
                        new String(parts.getOrDefault("data/events.csv", new byte[0]), StandardCharsets.UTF_8))
                .stream()
                .toList();
    }

    /** First day of a span of age in days, by the mean lengths of month and year, and not by the registry's own table. */
    private static long day(int number, String unit) {
        return switch (unit) {
            case "d" -> number;
            case "mo" -> Math.round(number * 365.25 / 12);
            default -> Math.round(number * 365.25);
        };
    }

    /** Whether an age is in a band as it is printed. */
    private static boolean in(String band, int days) {
        Matcher open = Pattern.compile("< (\\d+) (d|mo|y)").matcher(band);
        if (open.matches()) {
            return days < day(Integer.parseInt(open.group(1)), open.group(2));
        }
        Matcher span = Pattern.compile("(\\d+)(?: (d|mo|y))?-(\\d+) (d|mo|y)").matcher(band);
        assertThat(span.matches()).as(band).isTrue();
        String unit = span.group(2) == null ? span.group(4) : span.group(2);
        return days >= day(Integer.parseInt(span.group(1)), unit)
                && days < day(Integer.parseInt(span.group(3)) + 1, span.group(4));
    }

    private static boolean in(String years, YearMonth month) {
        String[] span = years.split("-", 2);
        return month.getYear() >= Integer.parseInt(span[0])
                && month.getYear() <= Integer.parseInt(span[span.length - 1]);
    }

    /**
     * An intruder who knows of 500 children age in days, month and unit, and reads the file and nothing else, finds no more than is
     * claimed; in the rows as they were recorded the same attack finds nearly all.
     */
    @Test
    void givesAnIntruderNoMoreThanTheRiskThatIsClaimed() throws IOException {
        Coarsening coarsening = coarsening();
        Contents contents = contents(coarsening);
        Map<String, byte[]> parts = written(contents);
        JsonNode report = new JsonMapper().readTree(parts.getOrDefault("risk-report.json", new byte[0]));
        List<NamedCsvRecord> rows = rows(parts);
        assertThat(rows).hasSize(report.path("rows").asInt());
        Set<Integer> removed = new HashSet<>(contents.report().found().removed());

        double sum = 0;
        double highest = 0;
        for (int i = 0; i < CHILDREN; i++) {
            Candidate known = children.get(i);
            long fitting = rows.stream()
                    .filter(row -> in(row.getField("age_days"), known.ageDays() == null ? -1 : known.ageDays())
                            && in(row.getField("encounter_start"), known.month()))
                    .count();
            double chance = removed.contains(i) ? 0 : 1.0 / fitting;
            sum += chance;
            highest = Math.max(highest, chance);
        }
        assertThat(sum / CHILDREN)
                .isPositive()
                .isLessThanOrEqualTo(report.path("prosecutor_average").asDouble() + 1e-9);
        assertThat(highest)
                .isLessThanOrEqualTo(report.path("prosecutor_highest").asDouble() + 1e-9);
        assertThat(report.path("prosecutor_highest").asDouble()).isLessThanOrEqualTo(0.2);
        assertThat(report.path("children_over_threshold").asInt()).isZero();
        assertThat(report.at("/intruder/found").asDouble())
                .as("what the report tells of the same attack")
                .isCloseTo(sum / CHILDREN, within(1e-9));
        assertThat(report.at("/intruder/children").asInt()).isEqualTo(CHILDREN);
        assertThat(report.at("/intruder/how").asString()).contains("picks one blindly");

        long alone = children.stream()
                .filter(one -> children.stream()
                                .filter(other -> one.month().equals(other.month())
                                        && Objects.equals(one.ageDays(), other.ageDays()))
                                .count()
                        == 1)
                .count();
        assertThat(alone).as("the attack is a real one").isGreaterThan(CHILDREN * 4 / 5);
    }

    /**
     * Nine and three children without and with a severe event are those of class A of worked vector P06 three times over; the others are
     * four and four. Of all, 13 in 20 had none: the second group is 0.65 - 0.5 away from that.
     */
    @Test
    void tellsHowMuchAGroupGivesAwayOfItsSecret() {
        List<Candidate> some = new ArrayList<>();
        for (int i = 0; i < 20; i++) {
            boolean first = i < 12;
            some.add(OutlookTest.child("p" + i, first ? 3 : 900, 2024, "apnoea", first ? i < 3 : i < 16));
        }
        JsonNode report = contents(
                        Coarsening.of(OutlookTest.choice(Profile.CONTROLLED, KnownVariable.AGE_DAYS), some, some))
                .report()
                .json();
        assertThat(report.path("groups").asInt()).isEqualTo(2);
        assertThat(report.path("distinct_l_of_severe_event").asInt()).isEqualTo(2);
        assertThat(report.path("entropy_l_of_severe_event").asDouble()).isCloseTo(1.754765, within(1e-6));
        assertThat(report.path("t_closeness_of_severe_event").asDouble()).isCloseTo(0.15, within(1e-12));
    }

    /** What the description says of rows and files is so, and every value that it names stands somewhere. */
    @Test
    void describesItsRowsAsTheyAre() throws IOException {
        Map<String, byte[]> parts = written(contents(coarsening()));
        JsonNode described = described(parts);
        assertThat(described.path("created").asString()).isEqualTo("2026-11-24T00:00:00Z");
        assertThat(described.path("resources"))
                .extracting(resource -> resource.path("path").asString())
                .containsExactly("data/events.csv", "data/events.parquet");
        for (JsonNode resource : described.path("resources")) {
            byte[] data = parts.getOrDefault(resource.path("path").asString(), new byte[0]);
            assertThat(resource.path("bytes").asInt()).isEqualTo(data.length);
            assertThat(resource.path("hash").asString()).isEqualTo("sha256:" + RequestWebTest.sha256(data));
        }
        List<NamedCsvRecord> rows = rows(parts);
        JsonNode fields = described.at("/resources/0/schema/fields");
        assertThat(fields)
                .extracting(field -> field.path("name").asString())
                .isEqualTo(rows.get(0).getHeader());
        for (JsonNode field : fields) {
            assertThat(field.path("categories")).isNotEmpty().allSatisfy(category -> {
                assertThat(category.path("label").asString()).isNotBlank();
                assertThat(rows)
                        .as(category.toString())
                        .anyMatch(row -> row.getField(field.path("name").asString())
                                .equals(category.path("value").asString()));
            });
        }
        assertThat(rows.stream().map(row -> row.getField("device_mode")).distinct())
                .as("what two children have is told as other")
                .containsExactlyInAnyOrder("direct", "other");
    }

    /** Judged by a validator of others, by the rules of the Data Package standard 2.0 (see the folder of the rules). */
    @Test
    void isDescribedAsTheStandardWants() throws IOException {
        Coarsening inside = Coarsening.of(choice(Profile.INTERNAL_PSEUDONYMISED, false), children, children);
        Generalisation found = inside.coarse(Earlier.NONE).orElseThrow();
        for (Contents contents : List.of(contents(coarsening()), Contents.of(inside, found, pseudonyms("standard")))) {
            JsonNode described = described(written(contents));
            for (JsonNode part :
                    List.of(described, described.at("/resources/0/dialect"), described.at("/resources/0/schema"))) {
                assertThat(broken(part.path("$schema").asString(), part)).isEmpty();
            }
        }
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            quoteCharacter = '`',
            value = {
                "/resources                                 | []",
                "/created                                   | 'yesterday'",
                "/resources/0/path                          | '../events.csv'",
                "/resources/0/path                          | '/data/events.csv'",
                "/resources/0/hash                          | 'sha256'",
                "/resources/0/bytes                         | 1.5",
                "/resources/1/mediatype                     | 'parquet'",
                "/resources/0/type                          | 'rows'",
                "/resources/0/dialect/header                | 'yes'",
                "/resources/0/schema/fields                 | []",
                "/resources/0/schema/fields/0/name          | 7",
                "/resources/0/schema/fields/0/type          | 'text'",
                "/resources/0/schema/fields/0/categories    | [{'label': 'no value'}]",
                "/resources/0/schema/fields/0/categoriesOrdered | 'no'",
                "/resources/0/schema/missingValues          | ['', {'value': 'U'}]",
            })
    void seesADescriptionThatBreaksTheStandard(String where, String json) throws IOException {
        JsonNode whole = described(written(contents(coarsening())));
        ObjectNode described = (ObjectNode) whole.deepCopy();
        int end = where.lastIndexOf('/');
        ((ObjectNode) described.at(where.substring(0, end)))
                .set(where.substring(end + 1), new JsonMapper().readTree(json.replace('\'', '"')));
        assertThat(broken("https://datapackage.org/profiles/2.0/datapackage.json", described))
                .isNotEmpty();
        described = (ObjectNode) whole.deepCopy();
        ((ObjectNode) described.at(where.substring(0, end))).remove(where.substring(end + 1));
        assertThat(broken("https://datapackage.org/profiles/2.0/datapackage.json", described)
                        .isEmpty())
                .as("whether it may be missing")
                .isEqualTo(!Set.of(
                                "/resources",
                                "/resources/0/path",
                                "/resources/0/schema/fields",
                                "/resources/0/schema/fields/0/name")
                        .contains(where));
    }

    private static JsonNode described(Map<String, byte[]> parts) {
        return new JsonMapper().readTree(parts.getOrDefault("datapackage.json", new byte[0]));
    }

    private static List<String> broken(String rules, JsonNode described) {
        SchemaRegistry known = SchemaRegistry.withDefaultDialect(
                SpecificationVersion.DRAFT_2020_12,
                registry -> registry.schemas(PackageTest::rules)
                        .schemaRegistryConfig(SchemaRegistryConfig.builder()
                                .formatAssertionsEnabled(true)
                                .build()));
        return known.getSchema(SchemaLocation.of(rules)).validate(described).stream()
                .map(Object::toString)
                .toList();
    }

    /** Rules by their address; nothing is fetched. */
    private static String rules(String address) {
        Path file = Path.of("src/test/resources/standards/data-package-2.0")
                .resolve(address.substring(address.lastIndexOf('/') + 1));
        assertThat(address).isEqualTo("https://datapackage.org/profiles/2.0/" + file.getFileName());
        try {
            return Files.readString(file);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /**
     * The rows by an engine of others that is told nothing but the description: a column for each field, of its type, and of its
     * categories where it has some. A value that is neither among them nor missing ends the reading.
     */
    @Test
    void keepsItsRowsToItsDescription() throws IOException, SQLException {
        Coarsening inside = Coarsening.of(choice(Profile.INTERNAL_PSEUDONYMISED, false), children, children);
        Generalisation found = inside.coarse(Earlier.NONE).orElseThrow();
        for (Contents contents : List.of(contents(coarsening()), Contents.of(inside, found, pseudonyms("rows")))) {
            Map<String, byte[]> parts = written(contents);
            JsonNode described = described(parts);
            String rows = new String(parts.getOrDefault("data/events.csv", new byte[0]), StandardCharsets.UTF_8);
            assertThat(read(described, rows))
                    .isEqualTo(contents.released().rows().size());

            assertThatThrownBy(() -> read(described, rows.replace("direct", "straight")))
                    .isInstanceOf(SQLException.class)
                    .hasMessageContaining("straight");
            assertThatThrownBy(() -> read(described, rows.replaceFirst("\r\n[^,]*,", "\r\n")))
                    .isInstanceOf(SQLException.class);
        }
        Map<String, byte[]> parts = written(Contents.of(inside, found, pseudonyms("rows")));
        String rows = new String(parts.getOrDefault("data/events.csv", new byte[0]), StandardCharsets.UTF_8);
        assertThatThrownBy(() -> read(described(parts), rows.replaceFirst("\\d{4}-\\d\\d-\\d\\d", "2024-02-30")))
                .isInstanceOf(SQLException.class)
                .hasMessageContaining("2024-02-30");
    }

    private long read(JsonNode described, String rows) throws IOException, SQLException {
        JsonNode resource = described.path("resources").path(0);
        JsonNode dialect = resource.path("dialect");
        List<String> columns = new ArrayList<>();
        for (JsonNode field : resource.at("/schema/fields")) {
            List<String> categories = new ArrayList<>();
            field.path("categories")
                    .forEach(one -> categories.add("'" + one.path("value").asString() + "'"));
            columns.add("'" + field.path("name").asString() + "': '"
                    + (field.path("type").asString().equals("date")
                            ? "date"
                            : categories.isEmpty()
                                    ? "varchar"
                                    : "enum(" + String.join(", ", categories).replace("'", "''") + ")")
                    + "'");
        }
        List<String> missing = new ArrayList<>();
        resource.at("/schema/missingValues")
                .forEach(one -> missing.add("'" + one.path("value").asString() + "'"));
        Path file = Files.writeString(folder.resolve("events.csv"), rows);
        try (Connection duck = DriverManager.getConnection("jdbc:duckdb:");
                Statement statement = duck.createStatement();
                ResultSet found = statement.executeQuery("select * from read_csv('" + file
                        + "', auto_detect = false, delim = '"
                        + dialect.path("delimiter").asString() + "', quote = '"
                        + dialect.path("quoteChar").asString() + "', header = "
                        + dialect.path("header").asBoolean() + ", columns = {" + String.join(", ", columns)
                        + "}, nullstr = [" + String.join(", ", missing) + "])")) {
            long read = 0;
            while (found.next()) {
                read++;
            }
            return read;
        }
    }

    @Test
    void isTheSameEachTimeAndTellsNoTimeAndNoOrder() throws IOException {
        Contents contents = contents(coarsening());
        Path one = folder.resolve("one.zip");
        Path other = folder.resolve("other.zip");
        PackageFile.Written first = PackageFile.write(one, papers(contents), contents.released(), () -> {});
        TimeZone zone = TimeZone.getDefault();
        PackageFile.Written second;
        try {
            TimeZone.setDefault(TimeZone.getTimeZone("Pacific/Auckland"));
            Contents again = contents(coarsening());
            second = PackageFile.write(other, papers(again), again.released(), () -> {});
        } finally {
            TimeZone.setDefault(zone);
        }

        assertThat(Files.readAllBytes(other)).isEqualTo(Files.readAllBytes(one));
        assertThat(second).isEqualTo(first);
        assertThat(first.bytes()).isEqualTo(Files.size(one));
        assertThat(PackageFile.sha256(one)).isEqualTo(first.sha256());
        try (ZipFile zip = new ZipFile(one.toFile())) {
            assertThat(zip.stream().map(entry -> entry.getTimeLocal().getYear()).distinct())
                    .containsExactly(1980);
        }
        Collections.reverse(children);
        assertThat(contents(coarsening()).released().rows())
                .as("whatever order the records come in")
                .isEqualTo(contents.released().rows());
    }

    @Test
    void leavesNothingWhereItIsCancelledOrCannotBeMovedIntoPlace() throws IOException {
        Contents contents = contents(coarsening());
        Path file = folder.resolve("cancelled.zip");
        Thread.currentThread().interrupt();
        assertThatThrownBy(() -> PackageFile.write(file, papers(contents), contents.released(), () -> {}))
                .isInstanceOf(IOException.class);
        assertThat(Thread.interrupted()).isTrue();
        assertThat(file).doesNotExist();

        Path taken = folder.resolve("taken.zip");
        Files.createDirectories(taken.resolve("inside"));
        assertThatThrownBy(() -> PackageFile.write(taken, papers(contents), contents.released(), () -> {}))
                .isInstanceOf(IOException.class);
        try (Stream<Path> left = Files.list(folder)) {
            assertThat(left).containsExactly(taken);
        }
    }

    /** The examples of the guide, as they stand there, say the same as a count by hand. */
    @Test
    void isReadByTheExamplesOfTheGuide() throws IOException, InterruptedException {
        Map<String, byte[]> parts = written(contents(coarsening()));
        for (Map.Entry<String, byte[]> part : parts.entrySet()) {
            Path file = folder.resolve(part.getKey());
            Files.createDirectories(file.getParent());
            Files.write(file, part.getValue());
        }
        List<NamedCsvRecord> rows = rows(parts);
        long yes =
                rows.stream().filter(row -> row.getField("fps").equals("yes")).count();
        long no = rows.stream().filter(row -> row.getField("fps").equals("no")).count();
        String guide = Files.readString(Path.of("../docs/howto/ask-for-research-data.md"));
        int run = 0;
        for (Map.Entry<String, String> language :
                Map.of("r", "Rscript", "python", "python3").entrySet()) {
            Matcher code = Pattern.compile("```" + language.getKey() + "\n(.*?)```", Pattern.DOTALL)
                    .matcher(guide);
            assertThat(code.find()).as(language.getKey()).isTrue();
            Path script = Files.writeString(folder.resolve("example." + language.getKey()), code.group(1));
            if (!there(language.getValue())) {
                continue;
            }
            Process process = new ProcessBuilder(language.getValue(), script.toString())
                    .directory(folder.toFile())
                    .redirectErrorStream(true)
                    .start();
            String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
            assertThat(process.waitFor(60, TimeUnit.SECONDS)).isTrue();
            assertThat(said).as(language.getKey()).contains(yes + " of " + (yes + no));
            run++;
        }
        Assumptions.assumeTrue(run > 0, "neither R nor Python is on this machine");
    }

    private static boolean there(String program) throws InterruptedException {
        try {
            return new ProcessBuilder(program, "--version").start().waitFor() == 0;
        } catch (IOException e) {
            return false;
        }
    }
}
