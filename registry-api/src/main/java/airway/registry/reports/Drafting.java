package airway.registry.reports;

import airway.registry.aims.Aim;
import airway.registry.changes.Change;
import airway.registry.charts.Picture;
import airway.registry.charts.Pictures;
import airway.registry.charts.Pictures.Stretch;
import airway.registry.charts.SetupsBeside;
import airway.registry.cohort.Measure;
import airway.registry.reports.Figures.Figure;
import airway.registry.reports.Paper.Block;
import airway.registry.reports.Paper.Drawing;
import airway.registry.reports.Paper.Section;
import airway.registry.reports.Paper.Table;
import airway.stats.Estimate;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** Puts a report together: what the numbers say, what people wrote, and what a reader has to know to judge both. */
final class Drafting {
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM yyyy", Locale.UK);
    private static final DateTimeFormatter MOMENT = DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.UK);

    private final Figures figures;
    private final Texts texts;
    private final Readers readers;
    private final Origin origin;
    private final Sentences sentences;

    /**
     * Where a paper comes from.
     *
     * @param software its version
     * @param locked whether it is final
     * @param seal the newest place in the chain over the audit, or null where nothing is sealed
     */
    record Origin(String software, boolean locked, @Nullable Long seal) {}

    private Drafting(Figures figures, Texts texts, Readers readers, Origin origin) {
        this.figures = figures;
        this.texts = texts;
        this.readers = readers;
        this.origin = origin;
        this.sentences = new Sentences(figures, readers);
    }

    static Paper paper(Figures figures, Texts texts, Readers readers, Origin origin) {
        return new Drafting(figures, texts, readers, origin).paper();
    }

    private Paper paper() {
        return new Paper(
                "Intubations, " + figures.quarter().words(),
                figures.site().title(),
                standing(),
                figures.over()
                        ? null
                        : "This quarter is not over. What is counted here is not complete, will change, and cannot be made"
                                + " final yet.",
                List.of(
                        firstSentences(),
                        section("asked-for", "Decisions asked for", written(texts.askedFor())),
                        drawings(),
                        aim(),
                        changes(),
                        measures(),
                        setups(),
                        reviews(),
                        section("learned", "What we learned", written(texts.learned())),
                        section("next-steps", "What we will do", written(texts.nextSteps())),
                        trust(),
                        care(),
                        published(),
                        definitions(),
                        methods(),
                        origin()));
    }

    private String standing() {
        String asOf = MOMENT.format(figures.asOf().atZone(figures.site().zone()));
        String what =
                origin.locked() ? "Final; numbers as of " + asOf : "Draft; numbers as of " + asOf + ", not locked";
        return what
                + (readers == Readers.UNIT
                        ? ". The unit's own paper: not to be handed on."
                        : ". For readers outside the unit, inside the organisation"
                                + (origin.locked() ? "." : "; not to be handed on before it is final."));
    }

    private static Section section(String id, String title, List<Block> blocks) {
        return new Section(id, title, blocks);
    }

    private Section firstSentences() {
        List<String> points =
                figures.firstPage().stream().map(sentences::headline).toList();
        return section("in-short", "In short", List.of(Block.points(points)));
    }

    private Section drawings() {
        List<Block> blocks = new ArrayList<>();
        for (Figure figure : figures.firstPage()) {
            picture(figure).ifPresent(picture -> blocks.add(Block.drawing(drawing(picture))));
        }
        if (blocks.isEmpty()) {
            blocks.add(Block.text("No drawing: " + Sentences.HIDDEN + ", or nothing could be counted."));
        }
        return section("drawings", "Drawn", blocks);
    }

    private Optional<Picture> picture(Figure figure) {
        Measure measure = figure.measure();
        if (readers.seeSpansUnderAYear()) {
            return Optional.ofNullable(figures.pictures().get(measure));
        }
        List<Stretch> stretches = new ArrayList<>();
        stretch("12 months before", measure, figure.before()).ifPresent(stretches::add);
        stretch("12 months to " + figures.quarter().end(), measure, figure.year())
                .ifPresent(stretches::add);
        return stretches.isEmpty()
                ? Optional.empty()
                : Optional.of(Pictures.beside(
                        measure,
                        sentences.years(figure) + " " + sentences.change(figure),
                        stretches,
                        "report-" + measure.id() + "-" + readers.code()));
    }

    private Optional<Stretch> stretch(String label, Measure measure, Tally tally) {
        Estimate estimate = tally.estimate().orElse(null);
        return estimate == null || !tally.bearsPercentage() || !readers.mayPrint(measure, tally)
                ? Optional.empty()
                : Optional.of(new Stretch(label, tally.x() + " of " + tally.n(), estimate));
    }

    private static Drawing drawing(Picture picture) {
        return new Drawing(
                picture.title(),
                picture.says(),
                // The fonts of the house have no prime.
                picture.remarks().stream()
                        .map(remark -> remark.replace('\u2032', '\''))
                        .toList(),
                picture.title() + ". " + picture.says() + " The counts are in the table of measures.",
                picture.svg(),
                picture.svgSmall());
    }

    private List<Block> written(@Nullable String text) {
        if (text == null) {
            return List.of(Block.text(origin.locked() ? "Nothing was written here." : "Nothing is written here yet."));
        }
        return Arrays.stream(text.split("\n", -1))
                .map(String::strip)
                .filter(line -> !line.isEmpty())
                .map(Block::text)
                .toList();
    }

    private Section aim() {
        Aim aim = figures.aim();
        List<Block> blocks = new ArrayList<>();
        blocks.add(Block.text(aim == null ? "The unit has written no aim." : "The aim: " + aim.sentence()));
        blocks.addAll(written(texts.context()));
        return section("aim", "Aim and context", blocks);
    }

    private Section changes() {
        List<Change> changes = figures.changes();
        if (changes.isEmpty()) {
            return section(
                    "changes",
                    "What was changed and when",
                    List.of(Block.text("No change of practice is noted in the two years to "
                            + figures.quarter().end() + ".")));
        }
        List<String> points = new ArrayList<>();
        for (int i = 0; i < changes.size(); i++) {
            Change change = changes.get(i);
            points.add((char) ('A' + i % 26) + ", " + DAY.format(change.on()) + ": " + change.name() + ". "
                    + change.reason());
        }
        return section(
                "changes",
                "What was changed and when",
                List.of(
                        Block.points(points),
                        Block.text("A change near a signal is not thereby its cause: other things changed too.")));
    }

    private Section measures() {
        List<String> head = new ArrayList<>(List.of("Measure"));
        if (readers.seeSpansUnderAYear()) {
            head.add(figures.over() ? "In the quarter" : "So far in the quarter");
        }
        head.addAll(List.of(
                "12 months to " + figures.quarter().end(),
                "12 months before",
                "Difference",
                "Left out of the last 12 months"));
        List<List<String>> rows = new ArrayList<>();
        for (Figure figure : figures.measures()) {
            Measure measure = figure.measure();
            List<String> row = new ArrayList<>(List.of(Sentences.title(measure)));
            if (readers.seeSpansUnderAYear()) {
                row.add(sentences.count(measure, figure.quarter()));
            }
            row.add(sentences.count(measure, figure.year()));
            row.add(sentences.count(measure, figure.before()));
            row.add(sentences.differenceAlone(figure));
            row.add(sentences.leftOut(figure.year()));
            rows.add(row);
        }
        return section(
                "measures",
                "Every measure of this report",
                List.of(
                        Block.table(new Table("Counts with 95% intervals; differences in points", head, rows)),
                        Block.text("These are " + rows.size()
                                + " measures looked at together: about one difference in twenty looks like more than chance"
                                + " though nothing changed.")));
    }

    private Section setups() {
        String title = "Set-ups beside each other";
        if (readers != Readers.UNIT) {
            return section(
                    "set-ups",
                    title,
                    List.of(Block.text(
                            "Printed in the unit's own paper alone: the groups are small, and counts of them leave"
                                    + " the unit as a table of counts.")));
        }
        SetupsBeside setups = figures.setups();
        if (setups.groups().isEmpty()) {
            return section("set-ups", title, List.of(Block.text("Nothing could be counted in the two years.")));
        }
        int columns = setups.compared() ? 3 : 2;
        List<Block> blocks = new ArrayList<>(List.of(
                Block.table(new Table(
                        "First-pass success of the two years to "
                                + figures.quarter().end(),
                        List.of("Set-up of the first attempt", "As recorded", "Like for like")
                                .subList(0, columns),
                        setups.groups().stream()
                                .map(group -> List.of(group.label(), group.recorded(), group.alike())
                                        .subList(0, columns))
                                .toList())),
                Block.points(setups.says())));
        blocks.add(Block.points(Stream.concat(
                        setups.cautions().stream(),
                        Stream.of(
                                "Nobody drew lots for a set-up: who got which may be the reason for a difference.",
                                "What a set-up costs, and whom it hurts otherwise, is not in these figures."))
                .toList()));
        return section("set-ups", title, blocks);
    }

    private Section reviews() {
        return section(
                "reviews",
                "Cases looked at",
                readers == Readers.UNIT
                        ? List.of(Block.points(sentences.reviews()))
                        : List.of(Block.text("Case reviews are the unit's own and are not printed outside it.")));
    }

    private Section trust() {
        List<String> points = new ArrayList<>(sentences.completeness());
        points.addAll(sentences.capture());
        return section("trust", "Can the numbers be trusted?", List.of(Block.points(points)));
    }

    private Section care() {
        List<Block> blocks = new ArrayList<>();
        List<String> points = new ArrayList<>(List.of(
                "These figures describe what happened. They do not rank people, teams or units, and they are no evidence of"
                        + " anyone's competence.",
                "A quarter holds few intubations: a year is set beside a year where a quarter is too small to say anything.",
                "Kinds of cases change over time too: a difference can be one of the patients.",
                "What is not recorded is missing from every figure; a unit that records less can look safer. No event"
                        + " recorded is not the same as no event."));
        if (figures.nominal() > 0) {
            points.add(
                    "Some dates of these records are made up for order only: quarters and years of them mean nothing.");
        }
        blocks.add(Block.points(points));
        if (texts.readWithCare() != null) {
            blocks.addAll(written(texts.readWithCare()));
        }
        return section("care", "Read with care", blocks);
    }

    private Section published() {
        List<String> points = figures.measures().stream()
                .map(Figure::measure)
                .filter(measure -> measure.publishedFor().equals(figures.site().kind()))
                .map(measure ->
                        Sentences.title(measure) + ": " + measure.published() + ". Source: " + measure.source() + ".")
                .toList();
        List<Block> blocks = new ArrayList<>();
        if (points.isEmpty()) {
            blocks.add(Block.text("The register holds no published figures about units of this kind."));
        } else {
            blocks.add(
                    Block.text(
                            "Shown for orientation, never as targets. Definitions, patients and years differ from those here."));
            blocks.add(Block.points(points));
        }
        return section("published", "Published figures, for orientation", blocks);
    }

    private Section definitions() {
        List<List<String>> rows = figures.measures().stream()
                .map(Figure::measure)
                .map(measure -> List.of(
                        Sentences.title(measure), measure.numerator(), measure.denominator(), measure.leftOut()))
                .toList();
        return section(
                "definitions",
                "Definitions",
                List.of(Block.table(
                        new Table("What is counted", List.of("Measure", "Counted", "Of", "Left out"), rows))));
    }

    private Section methods() {
        List<String> points = new ArrayList<>(List.of(
                "Intervals of shares: Wilson's score interval, 95%. Intervals of differences: Newcombe's, from two Wilson"
                        + " intervals, 95%. A difference whose interval holds 0 is told as not settled.",
                "Fewer than 5 intubations: the count alone, no percentage. Where nothing could be counted there is no value,"
                        + " which is not 0.",
                "Numbers are rounded for print alone: whole percentages below 100 intubations, one decimal from 100 on.",
                "Drawn are the two years to the end of the quarter: by month as a control chart of shares where a month holds"
                        + " 15 intubations or more on average, else every intubation by itself.",
                "Months and quarters are those of the zone "
                        + figures.site().zone().getId()
                        + ". Severe events are those of the scheme that the measure names."));
        points.add(
                readers == Readers.UNIT
                        ? "This is the unit's own paper: small counts are printed, as whoever reads it can read the records."
                                + " For the board there is a paper of its own, which tells years alone and prints no count"
                                + " from 1 to " + (Readers.SMALLEST_CELL - 1) + "."
                        : "This paper leaves the unit: it tells years alone, and prints no count from 1 to "
                                + (Readers.SMALLEST_CELL - 1)
                                + " on either side of a share, nor a percentage, interval or drawing made from one, nor a"
                                + " share from which one could be worked out beside the tables of counts and final reports"
                                + " that the unit has told. Other numbers of cases are rounded to fives. Once final, its"
                                + " shares are remembered, and what is told later is held against them. It is not for"
                                + " readers outside the organisation.");
        return section("methods", "Methods", List.of(Block.points(points)));
    }

    private Section origin() {
        List<String> points = new ArrayList<>();
        points.add("Written by the improvement lead of the unit; numbers, tables and drawings by the register.");
        points.add("From " + readers.number(figures.recordsOfTwoYears()) + " records of the two years to "
                + figures.quarter().end()
                + (readers.seeSpansUnderAYear() ? ", " + figures.records() + " of them in the quarter" : "")
                + ", as they were on "
                + MOMENT.format(figures.asOf().atZone(figures.site().zone())) + ".");
        points.add("Software: airway event registry " + origin.software() + ".");
        if (origin.locked()) {
            points.add(
                    origin.seal() == null
                            ? "The audit had no sealed entry when this report was made final."
                            : "When this report was made final, the audit was sealed up to place "
                                    + Objects.requireNonNull(origin.seal()) + ".");
        }
        points.add("Not the health record, not advice. Local policy and licensed practice come first.");
        return section("origin", "Who made it, from what", List.of(Block.points(points)));
    }
}
