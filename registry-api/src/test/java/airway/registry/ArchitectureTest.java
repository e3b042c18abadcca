package airway.registry;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.Architectures.layeredArchitecture;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;

import com.tngtech.archunit.core.importer.ImportOption.DoNotIncludeTests;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;

/** The floors of the house and who may look at whom. */
@AnalyzeClasses(packages = "airway.registry", importOptions = DoNotIncludeTests.class)
class ArchitectureTest {
    @ArchTest
    static final ArchRule FLOORS = layeredArchitecture()
            .consideringOnlyDependenciesInLayers()
            .withOptionalLayers(true)
            .layer("dictionary")
            .definedBy("airway.registry.dictionary")
            .layer("problem")
            .definedBy("airway.registry.problem")
            .layer("database")
            .definedBy("airway.registry.database")
            .layer("access")
            .definedBy("airway.registry.access")
            .layer("web")
            .definedBy("airway.registry.web")
            .layer("encounter")
            .definedBy("airway.registry.encounter")
            .layer("keys")
            .definedBy("airway.registry.keys")
            .layer("identity")
            .definedBy("airway.registry.identity")
            .layer("cohort")
            .definedBy("airway.registry.cohort")
            .layer("charts")
            .definedBy("airway.registry.charts")
            .layer("quality")
            .definedBy("airway.registry.quality")
            .layer("changes")
            .definedBy("airway.registry.changes")
            .layer("aims")
            .definedBy("airway.registry.aims")
            .layer("reports")
            .definedBy("airway.registry.reports")
            .layer("release")
            .definedBy("airway.registry.release")
            .layer("research")
            .definedBy("airway.registry.research")
            .layer("reviews")
            .definedBy("airway.registry.reviews")
            .layer("home")
            .definedBy("airway.registry.home")
            .layer("imports")
            .definedBy("airway.registry.imports")
            .layer("demo")
            .definedBy("airway.registry.demo")
            .layer("audit")
            .definedBy("airway.registry.audit")
            .layer("kit")
            .definedBy("airway.registry.kit")
            .layer("verify")
            .definedBy("airway.registry.verify")
            .layer("people")
            .definedBy("airway.registry.people")
            .layer("program")
            .definedBy("airway.registry")
            .whereLayer("program")
            .mayNotBeAccessedByAnyLayer()
            .whereLayer("demo")
            .mayOnlyBeAccessedByLayers("program")
            .whereLayer("verify")
            .mayOnlyBeAccessedByLayers("program")
            .whereLayer("audit")
            .mayOnlyBeAccessedByLayers("verify")
            .whereLayer("imports")
            .mayOnlyBeAccessedByLayers("program")
            .whereLayer("kit")
            .mayOnlyBeAccessedByLayers("encounter", "demo")
            .whereLayer("home")
            .mayNotBeAccessedByAnyLayer()
            .whereLayer("reports")
            .mayOnlyBeAccessedByLayers("program")
            .whereLayer("release")
            .mayOnlyBeAccessedByLayers("reports")
            .whereLayer("research")
            .mayOnlyBeAccessedByLayers("program")
            .whereLayer("quality")
            .mayOnlyBeAccessedByLayers("reports")
            .whereLayer("charts")
            .mayOnlyBeAccessedByLayers("reports")
            .whereLayer("changes")
            .mayOnlyBeAccessedByLayers("charts", "demo", "reports")
            .whereLayer("aims")
            .mayOnlyBeAccessedByLayers("charts", "reports")
            .whereLayer("reviews")
            .mayOnlyBeAccessedByLayers("home", "reports")
            .whereLayer("cohort")
            .mayOnlyBeAccessedByLayers(
                    "charts", "encounter", "quality", "reviews", "aims", "reports", "release", "research")
            .whereLayer("encounter")
            .mayOnlyBeAccessedByLayers("imports", "demo", "home", "quality")
            .whereLayer("identity")
            .mayOnlyBeAccessedByLayers("encounter", "kit")
            .whereLayer("keys")
            .mayOnlyBeAccessedByLayers("encounter", "access", "identity", "people", "research")
            .whereLayer("people")
            .mayNotBeAccessedByAnyLayer()
            .whereLayer("web")
            .mayOnlyBeAccessedByLayers(
                    "encounter",
                    "identity",
                    "charts",
                    "quality",
                    "changes",
                    "reviews",
                    "reports",
                    "aims",
                    "release",
                    "research",
                    "home",
                    "imports",
                    "people",
                    "kit",
                    "audit");

    @ArchTest
    static final ArchRule NO_CIRCLES =
            slices().matching("airway.registry.(*)..").should().beFreeOfCycles();

    @ArchTest
    static final ArchRule WEB_STAYS_AT_THE_DOOR = noClasses()
            .that()
            .haveSimpleNameNotEndingWith("Api")
            .and()
            .haveSimpleNameNotEndingWith("Pages")
            .and()
            .resideOutsideOfPackage("airway.registry.web")
            .and()
            .areTopLevelClasses()
            .should()
            .dependOnClassesThat()
            .resideInAnyPackage("org.springframework.web..", "org.springframework.http..", "jakarta.servlet..");

    @ArchTest
    static final ArchRule SQL_STAYS_BELOW = noClasses()
            .that()
            .haveSimpleNameEndingWith("Api")
            .or()
            .haveSimpleNameEndingWith("Pages")
            .or()
            .haveSimpleNameEndingWith("Form")
            .or()
            .haveSimpleNameEndingWith("Json")
            .or()
            .haveSimpleNameEndingWith("Svg")
            .should()
            .dependOnClassesThat()
            .resideInAnyPackage("org.jooq..", "airway.sql.generated..");

    @ArchTest
    static final ArchRule ONE_WRITER_PER_SCHEMA = noClasses()
            .that()
            .resideOutsideOfPackage("airway.registry.encounter")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("airway.sql.generated.encounter..");

    @ArchTest
    static final ArchRule ONE_WRITER_OF_CHANGES = noClasses()
            .that()
            .resideOutsideOfPackage("airway.registry.changes")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("airway.sql.generated.changes..");

    @ArchTest
    static final ArchRule ONE_WRITER_OF_AIMS = noClasses()
            .that()
            .resideOutsideOfPackage("airway.registry.aims")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("airway.sql.generated.aims..");

    @ArchTest
    static final ArchRule ONE_WRITER_OF_REPORTS = noClasses()
            .that()
            .resideOutsideOfPackage("airway.registry.reports")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("airway.sql.generated.reports..");

    @ArchTest
    static final ArchRule ONE_WRITER_OF_KEPT_AVERAGES = noClasses()
            .that()
            .resideOutsideOfPackage("airway.registry.charts")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("airway.sql.generated.charts..");

    @ArchTest
    static final ArchRule ONE_WRITER_OF_REVIEWS = noClasses()
            .that()
            .resideOutsideOfPackage("airway.registry.reviews")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("airway.sql.generated.reviews..");

    @ArchTest
    static final ArchRule ONE_WRITER_OF_IDENTITY = noClasses()
            .that()
            .resideOutsideOfPackage("airway.registry.identity")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("airway.sql.generated.identity..");

    @ArchTest
    static final ArchRule ONE_WRITER_OF_THE_KIT = noClasses()
            .that()
            .resideOutsideOfPackage("airway.registry.kit")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("airway.sql.generated.kit..");

    @ArchTest
    static final ArchRule ONE_WRITER_OF_RESEARCH_DATA = noClasses()
            .that()
            .resideOutsideOfPackage("airway.registry.research")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("airway.sql.generated.research..");

    @ArchTest
    static final ArchRule ONE_READER_OF_THE_AUDIT = noClasses()
            .that()
            .resideOutsideOfPackages("airway.registry.audit", "airway.registry.verify")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("airway.sql.generated.audit..");

    @ArchTest
    static final ArchRule RECORDS_DO_NOT_DRAW = noClasses()
            .that()
            .resideInAnyPackage("airway.registry.encounter", "airway.registry.cohort")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("airway.stats..");
}
