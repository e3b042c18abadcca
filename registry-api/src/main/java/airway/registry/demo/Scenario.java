package airway.registry.demo;

import java.util.List;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** The three units of the invented scenario. Figures beside a parameter: what it is set to give, and from where. */
final class Scenario {
    static final int MONTHS = 38;
    static final String ZONE = "Europe/London";

    /** What a unit with a change of practice notes about it. */
    static final ObjectNode CHANGE = new JsonMapper()
            .createObjectNode()
            .put("name", "Briefing with a checklist, screen first")
            .put("reason", "Two case reviews found that the plan for a second attempt was not shared.")
            .put("cuts_chart", "yes");

    private static final UnitPlan.Change NEVER = new UnitPlan.Change(0, 0, 0, 0);

    /** First pass 60 % (PICU, Lee 2016) to 67 % (one PICU, 2023) before the change, about 78 % after it (ours). */
    private static final UnitPlan HARBOUR = new UnitPlan(
            "harbour",
            "Harbour Children's Unit",
            "picu",
            27,
            Mix.of("newborn 12, infant 38, child_1_7 32, child_8_17 18"),
            Mix.of("junior 26, senior 42, specialist 26, non_doctor 6"),
            0.41,
            0.36,
            0.42,
            new UnitPlan.Change(12, 0.76, 0.28, 20),
            // Under 80 by attempts 1, 2, 3+: 16, 36, 56 % (Lee 2016).
            List.of(0.145, 0.34, 0.55),
            1,
            List.of(
                    new SetupPlan(
                            "h-straight1-plain",
                            "Metal blade, straight, size 1, no screen",
                            "direct",
                            "straight",
                            "1",
                            "metal",
                            "reusable",
                            "none",
                            "small"),
                    new SetupPlan(
                            "h-straight1-handle",
                            "Metal blade, straight, size 1, screen on the handle",
                            "video_standard",
                            "straight",
                            "1",
                            "metal",
                            "reusable",
                            "handle",
                            "small"),
                    new SetupPlan(
                            "h-straight1-cable",
                            "Metal blade, straight, size 1, screen on a cable",
                            "video_standard",
                            "straight",
                            "1",
                            "metal",
                            "reusable",
                            "cable",
                            "small"),
                    new SetupPlan(
                            "h-curved2-plain",
                            "Metal blade, curved, size 2, no screen",
                            "direct",
                            "curved",
                            "2",
                            "metal",
                            "reusable",
                            "none",
                            "large"),
                    new SetupPlan(
                            "h-curved2-handle",
                            "Plastic blade, curved, size 2, screen on the handle",
                            "video_standard",
                            "curved",
                            "2",
                            "plastic",
                            "single_use",
                            "handle",
                            "large"),
                    new SetupPlan(
                            "h-angled2-cable",
                            "Plastic blade, strongly angled, size 2, screen on a cable",
                            "video_hyper",
                            "hyper",
                            "2",
                            "plastic",
                            "single_use",
                            "cable",
                            "large")));

    /** First pass 49 % (NICU, Foglia 2019) to 56 % (44 % of 13126 needed two or more, 2024); second 54 % (the same). */
    private static final UnitPlan LANTERN = new UnitPlan(
            "lantern",
            "Lantern Newborn Unit",
            "nicu",
            20,
            Mix.of("newborn 88, infant 12"),
            Mix.of("junior 24, senior 42, specialist 18, non_doctor 16"),
            0.06,
            0.14,
            0.48,
            NEVER,
            // A fall of 20 points: 48 % of all (NICU, Foglia 2019); split by attempts is ours.
            List.of(0.31, 0.53, 0.66),
            1.5,
            List.of(
                    new SetupPlan(
                            "l-s0-plain",
                            "Metal blade, straight, size 0, no screen",
                            "direct",
                            "straight",
                            "0",
                            "metal",
                            "reusable",
                            "none",
                            "small"),
                    new SetupPlan(
                            "l-s0-handle",
                            "Plastic blade, straight, size 0, screen on the handle",
                            "video_standard",
                            "straight",
                            "0",
                            "plastic",
                            "single_use",
                            "handle",
                            "small"),
                    new SetupPlan(
                            "l-s0-cable",
                            "Metal blade, straight, size 0, screen on a cable",
                            "video_standard",
                            "straight",
                            "0",
                            "metal",
                            "reusable",
                            "cable",
                            "small"),
                    new SetupPlan(
                            "l-s1-plain",
                            "Metal blade, straight, size 1, no screen",
                            "direct",
                            "straight",
                            "1",
                            "metal",
                            "reusable",
                            "none",
                            "large"),
                    new SetupPlan(
                            "l-s1-monitor",
                            "Metal blade, straight, size 1, picture on a large monitor",
                            "video_standard",
                            "straight",
                            "1",
                            "metal",
                            "reusable",
                            "monitor",
                            "large")));

    /** About four a month: 108 in 30 months, quartiles 58 and 229 (PICU, Parker 2018). */
    private static final UnitPlan MEADOW = new UnitPlan(
            "meadow",
            "Meadow Mixed Unit",
            "icu_mixed",
            4,
            Mix.of("infant 8, child_1_7 22, child_8_17 25, adult 45"),
            Mix.of("junior 18, senior 44, specialist 34, non_doctor 4"),
            0.45,
            0.55,
            0.35,
            NEVER,
            List.of(0.14, 0.33, 0.52),
            1,
            List.of(
                    new SetupPlan(
                            "m-straight1",
                            "Metal blade, straight, size 1, no screen",
                            "direct",
                            "straight",
                            "1",
                            "metal",
                            "reusable",
                            "none",
                            "small"),
                    new SetupPlan(
                            "m-curved3-plain",
                            "Metal blade, curved, size 3, no screen",
                            "direct",
                            "curved",
                            "3",
                            "metal",
                            "reusable",
                            "none",
                            "large"),
                    new SetupPlan(
                            "m-curved3-handle",
                            "Plastic blade, curved, size 3, screen on the handle",
                            "video_standard",
                            "curved",
                            "3",
                            "plastic",
                            "single_use",
                            "handle",
                            "large"),
                    new SetupPlan(
                            "m-angled3-cable",
                            "Plastic blade, strongly angled, size 3, screen on a cable",
                            "video_hyper",
                            "hyper",
                            "3",
                            "plastic",
                            "single_use",
                            "cable",
                            "large")));

    /** The units, the home unit first. */
    static final List<UnitPlan> UNITS = List.of(HARBOUR, LANTERN, MEADOW);

    private Scenario() {}
}
