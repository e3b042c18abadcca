package airway.registry.encounter;

import static airway.registry.testing.Assertions.faults;
import static airway.registry.testing.Assertions.isProblem;
import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.testing.ServedRegistry;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import tools.jackson.databind.JsonNode;

class DeviceSetupsWebTest extends ServedRegistry {
    private Answer add(String unit, String fields) {
        return post("/api/v1/device-setups", "{\"site_id\": \"" + unit + "\", " + fields + "}");
    }

    @Test
    void listsTheSetUpsOfOneUnitInTheOrderTheyWereAdded() {
        String unit = unit().code();
        String other = unit().code();
        assertThat(add(unit, "\"title\": \"Plastic blade, curved, size 1\", \"blade_material\": \"plastic\"")
                        .status())
                .isEqualTo(201);
        add(unit, "\"device_setup_id\": \"m1\", \"title\": \"Metal blade\"");
        add(other, "\"title\": \"Elsewhere\"");

        JsonNode list = get("/api/v1/device-setups?site_id=" + unit).json();

        assertThat(list).hasSize(2);
        assertThat(list.path(0).path("device_setup_id").asString()).isEqualTo("plastic-blade-curved-size-1");
        assertThat(list.path(0).path("blade_material").asString()).isEqualTo("plastic");
        assertThat(list.path(1).path("device_setup_id").asString()).isEqualTo("m1");
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "'\"device_mode\": \"video_standard\", \"display_mounting\": \"none\"'|/display_mounting setup.screen",
                "'\"device_mode\": \"direct\", \"display_mounting\": \"cable\"'|/display_mounting setup.screen",
                "'\"device_mode\": \"direct\", \"blade_geometry\": \"hyper\"'|/blade_geometry setup.blade",
                "'\"blade_geometry\": \"na\", \"blade_size\": \"1\"'|/blade_size condition",
                "'\"blade_size\": \"9\"'|/blade_size code",
            })
    void refusesASetUpThatCannotBe(String fields, String fault) {
        assertThat(faults(isProblem(add(unit().code(), "\"title\": \"T\", " + fields), 422, "invalid")))
                .containsExactly(fault);
    }

    @Test
    void refusesTheSameTitleOrKeyTwice() {
        String unit = unit().code();
        add(unit, "\"device_setup_id\": \"a\", \"title\": \"Metal\"");

        isProblem(add(unit, "\"device_setup_id\": \"b\", \"title\": \"Metal\""), 409, "conflict");
        isProblem(add(unit, "\"device_setup_id\": \"a\", \"title\": \"Plastic\""), 409, "conflict");
    }

    @Test
    void refusesAnUnknownFieldAndAMissingTitle() {
        isProblem(add(unit().code(), "\"title\": \"T\", \"maker\": \"x\""), 400, "malformed");
        assertThat(faults(isProblem(add(unit().code(), "\"blade_size\": \"1\""), 422, "invalid")))
                .contains("/title required");
    }
}
