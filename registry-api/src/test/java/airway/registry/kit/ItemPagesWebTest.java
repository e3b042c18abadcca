package airway.registry.kit;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Entering kinds, items and moves on their pages. */
class ItemPagesWebTest extends KitDesk {
    @Test
    void leadsFromTheFirstKindToABladeOnTheTrolleyWithoutTheApi() {
        assertThat(page(keeper, "/kit/items").text()).contains("No reusable item is entered");
        assertThat(form(keeper, "/kit/kinds", "title", KIND, "instructions", "Leaflet 7", "cycle_limit", "60")
                        .status())
                .isEqualTo(303);
        Answer entered =
                form(keeper, "/kit/items", "kind", KIND, "name", "0417", "cycles_before", "3", "place", "Desk");
        assertThat(entered.status()).as(entered.text()).isEqualTo(303);
        String item = entered.header("Location");
        Answer found = form(keeper, "/kit/find", "label", " 0417 ");
        assertThat(found.status()).isEqualTo(303);
        assertThat(found.header("Location")).endsWith(item.substring(item.indexOf("/kit/")));

        assertThat(form(
                                keeper,
                                item + "/moves",
                                "move",
                                "ready",
                                "seen",
                                "1",
                                "cycle",
                                "24-1",
                                "cycle_ended_at",
                                "2026-11-23T18:00",
                                "cycle_passed",
                                "yes",
                                "use_by",
                                "2027-05-18",
                                "place_other",
                                "Shelf C")
                        .status())
                .isEqualTo(303);
        assertThat(page(keeper, item).text())
                .contains("you proposed it yourself")
                .doesNotContain("I confirm it");
        assertThat(page(second, item).text()).contains("Confirm as the second person: Release it", "I confirm it");
        form(second, item + "/moves", "move", "confirmed", "seen", "2");
        form(keeper, item + "/moves", "move", "placed", "seen", "3", "pack_whole", "yes", "place_other", "Trolley 2");

        assertThat(page(recorder, item).text())
                .contains(
                        "<strong>On the trolley: Trolley 2</strong>",
                        "4 cycles of 60 that its maker allows",
                        "Confirmed by a second person: Ready",
                        "Tester (kit keeper)",
                        "Pack seen whole");
        assertThat(page(recorder, "/kit/items?site_id=" + unit.code()).text())
                .contains("0417, " + KIND, "On the trolley: Trolley 2, since 24 Nov 2026, 12:00");
    }

    @Test
    void offersOnlyTheMovesThereAreNowToWhoMayMakeThem() {
        kind();
        String item = ready("0417");
        String offered = page(keeper, pageOf(item)).text();
        assertThat(offered)
                .contains("Put it on a trolley", "Pack is whole: save", "Hold it", "Out of use for good")
                .contains("Saving says that you saw the pack whole", "name=\"pack_whole\" value=\"yes\"")
                .doesNotContain("It came back", "It was used", "value=\"in_use\"");
        assertThat(page(recorder, pageOf(item)).text())
                .contains("It was opened")
                .doesNotContain("Put it on a trolley", "Hold it", "It is missing");

        moved(recorder, item, "opened", 3, "");
        assertThat(page(keeper, pageOf(item)).text())
                .contains("It was used", "No: it counts as dirty")
                .doesNotContain("value=\"ready\"", "value=\"placed\"", "value=\"returned\"", "value=\"undo\"");
    }

    @ParameterizedTest
    @ValueSource(strings = {"held", "repair", "missing"})
    void offersNoWayBackToReadyWithoutAPassingCycleLaterThanTheLastUse(String aside) {
        kind();
        String item = ready("0417");
        moved(recorder, item, "opened", 3, "\"at\": \"2026-11-24T09:00\"");
        moved(
                keeper,
                item,
                aside,
                4,
                "\"place\": \"Box\"" + (aside.equals("missing") ? "" : ", \"reason\": \"It fell.\""));
        assertThat(page(keeper, pageOf(item)).text()).doesNotContain("value=\"ready\"", "value=\"placed\"");
        if (aside.equals("missing")) {
            return;
        }
        Answer early = form(
                keeper,
                pageOf(item) + "/moves",
                "move",
                "returned",
                "seen",
                "5",
                "cycle",
                "24-2",
                "cycle_ended_at",
                "2026-11-24T08:59",
                "cycle_passed",
                "yes",
                "use_by",
                "2027-05-18");
        assertThat(early.status()).isEqualTo(422);
        assertThat(early.text()).contains("it counts for nothing", "href=\"#returned-cycle_ended_at\"");
        assertThat(read(item).path("state").asString()).isEqualTo(aside);
    }

    @Test
    void namesTheFieldAndTheMendAndKeepsWhatWasTyped() {
        kind();
        String item = item("0417", "");
        Answer refused = form(
                keeper,
                pageOf(item) + "/moves",
                "move",
                "ready",
                "seen",
                "1",
                "cycle",
                "24-<1>",
                "cycle_passed",
                "no",
                "place_other",
                "Shelf <C>");

        assertThat(refused.status()).isEqualTo(422);
        assertThat(refused.text())
                .contains("<title>Error: 0417", "Everything you typed is still here")
                .contains("href=\"#ready-cycle_ended_at\"", "Tell when the cycle ended.")
                .contains("href=\"#ready-cycle_passed\"", "if it failed, hold it.")
                .contains("value=\"24-&lt;1&gt;\"", "value=\"Shelf &lt;C&gt;\"")
                .containsPattern("name=\"cycle_passed\" value=\"no\"[^>]*checked");

        Answer kind = form(keeper, "/kit/kinds", "title", KIND + " b", "cycle_limit", "sixty", "least_ready", "2");
        assertThat(kind.status()).isEqualTo(422);
        assertThat(kind.text())
                .contains("Write a whole number from 1 to 10000.", "value=\"sixty\"", "value=\"" + KIND + " b\"");
        Answer twice = form(keeper, "/kit/items", "kind", KIND, "name", "0417", "cycles_before", "0", "place", "Here");
        assertThat(twice.status()).isEqualTo(409);
        assertThat(twice.text()).contains("The unit has this item already.", "value=\"Here\"", "href=\"#name\"");
    }

    @Test
    void showsOneOfTwoWhoTakeTheSameBladeWhereItIsNow() {
        kind();
        String item = ready("0417");
        String[] taken = {"move", "placed", "seen", "3", "pack_whole", "yes", "place_other", "Trolley 1"};
        assertThat(form(keeper, pageOf(item) + "/moves", taken).status()).isEqualTo(303);
        taken[7] = "Trolley 9";

        Answer late = form(second, pageOf(item) + "/moves", taken);
        assertThat(late.status()).isEqualTo(409);
        assertThat(late.text())
                .contains("Nothing was stored. The item is now: On the trolley (move 4).")
                .contains("You had typed: place Trolley 9; pack whole yes.")
                .contains("<strong>On the trolley: Trolley 1</strong>");
        assertThat(read(item).path("version").asInt()).isEqualTo(4);
    }

    @Test
    void marksWhatWasEnteredLateAndWhatWasTakenBack() {
        kind();
        String item = ready("0417");
        form(
                keeper,
                pageOf(item) + "/moves",
                "move",
                "placed",
                "seen",
                "3",
                "pack_whole",
                "yes",
                "place_other",
                "Trolley 1",
                "at",
                "2026-11-24T06:00",
                "reason",
                "Told by phone");
        Answer why = form(keeper, pageOf(item) + "/moves", "move", "undo", "seen", "4");
        assertThat(why.status()).isEqualTo(422);
        assertThat(why.text()).contains("href=\"#undo-reason\"", "Write why the move is taken back.");
        form(keeper, pageOf(item) + "/moves", "move", "undo", "seen", "4", "reason", "Wrong blade");

        assertThat(page(keeper, pageOf(item)).text())
                .contains("24 Nov 2026, 06:00", "Entered late:", "Told by phone")
                .contains("class=\"gone\">On the trolley</b> <span class=\"hint\">(taken back)")
                .contains("Last move taken back: Ready", "Wrong blade");
    }

    @Test
    void findsAnItemByItsMarkAsScannedAndSaysWhenThereIsNone() {
        kind();
        String item = item("0417", ", \"gtin\": \"09506000134352\", \"serial\": \"A/7\"");
        String owned = item("0418", ", \"giai\": \"95060001343X1\"");
        assertThat(form(recorder, "/kit/find", "label", "]d2010950600013435221A/7")
                        .header("Location"))
                .endsWith(pageOf(item));
        assertThat(form(recorder, "/kit/find", "label", "(8004)95060001343X1").header("Location"))
                .endsWith(pageOf(owned));

        Answer none = form(recorder, "/kit/find", "label", "417");
        assertThat(none.status()).isEqualTo(404);
        assertThat(none.text()).contains("leading zeros count", "value=\"417\"");
        assertThat(page(recorder, "/kit/items/new").status()).isEqualTo(403);
        assertThat(page(recorder, "/kit/kinds").status()).isEqualTo(403);
    }

    @Test
    void putsAKindRightAndTellsWhoWasSlower() {
        kind();
        String kind =
                sent(keeper, "/api/v1/kit/kinds", "{\"title\": \"Curved\"}").header("Location");
        String[] fields = {"title", "Curved, size 2", "instructions", "Leaflet 8", "seen", "1"};
        assertThat(form(keeper, pageOf(kind), fields).status()).isEqualTo(303);
        fields[1] = "Curved, size 3";
        Answer slower = form(second, pageOf(kind), fields);
        assertThat(slower.status()).isEqualTo(409);
        assertThat(slower.text()).contains("Somebody else has put it right", "value=\"Curved, size 3\"");
        assertThat(page(keeper, pageOf(kind)).text()).contains("Curved, size 2", "Instructions: Leaflet 8");
    }
}
