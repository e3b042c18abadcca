package airway.registry.journey;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.Role;
import airway.registry.testing.ServedRegistry;
import airway.registry.testing.Tester;
import java.net.URI;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.openqa.selenium.By;

/** An auditor reads who did what, and verifies that nobody changed it. */
class AuditJourney extends ServedRegistry {
    private static final Tester AUDITOR = Tester.fresh(LOGINS).with(null, Role.AUDITOR);

    private String unit = "";

    @Override
    protected Tester tester() {
        return AUDITOR;
    }

    @BeforeEach
    void aRecordThatWasWithdrawn() {
        unit = unit().code();
        Answer made = recordConfirmed("""
                {"site_id": "%s", "encounter_kind": "initial", "encounter_start": "2026-03-01T14:20:00Z", "courses":
                 [{"course_approach": "oral", "attempts": [{"attempt_success": "yes"}]}]}""".formatted(unit));
        String id = made.json().path("encounter_id").asString();
        Answer withdrawn = post("/api/v1/encounters/" + id + "/withdrawal", "{\"reason_code\": \"test_entry\"}");
        assertThat(withdrawn.status()).as(withdrawn.text()).isEqualTo(200);
    }

    private URI at(String path) {
        return request(path).build().uri();
    }

    @ParameterizedTest(name = "{0} by {1}")
    @CsvSource({"320, 700", "390, 844", "1280, 900"})
    void readsTheAuditInBothTones(int width, int height) {
        try (Browser browser =
                Browser.open(width, height).as(request("/").build().uri(), session())) {
            browser.visit(at("/audit?site_id=" + unit));
            browser.fitsSideways();
            browser.isLargeEnough();
            browser.isAccessible();
            browser.picture("audit-" + width);
            browser.dim();
            browser.isAccessible();
            browser.script("localStorage.removeItem('tone'); delete document.documentElement.dataset.tone");
        }
    }

    @Test
    void verifiesAndFindsTheEntryOfIt() {
        try (Browser browser = Browser.open(390, 844).as(request("/").build().uri(), session())) {
            browser.visit(at("/audit"));
            browser.press(By.xpath("//button[text()='Verify now']"));
            browser.waitFor(By.xpath("//dd[contains(., 'seals held')]"));
            assertThat(browser.driver().findElement(By.tagName("main")).getText())
                    .contains("Verified: this audit");
        }
    }
}
