package airway.registry.web;

import static org.assertj.core.api.Assertions.assertThat;

import airway.registry.access.PublicAddress;
import jakarta.servlet.ServletException;
import java.io.IOException;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.springframework.mock.web.MockFilterChain;
import org.springframework.mock.web.MockHttpServletRequest;
import org.springframework.mock.web.MockHttpServletResponse;

class BrowserGuardTest {
    @ParameterizedTest
    @CsvSource({
        "GET,  127.0.0.1,    '', 200",
        "GET,  localhost,    '', 200",
        "GET,  elsewhere.example, '', 403",
        "POST, elsewhere.example, http://elsewhere.example, 403",
        "POST, localhost, http://localhost, 200",
        "POST, localhost, http://elsewhere.example, 403",
        "POST, localhost, null, 403",
        "POST, localhost, '', 200",
    })
    void letsOnlyThisMachineAskAndOnlyItsPagesChange(String method, String host, String origin, int status)
            throws ServletException, IOException {
        MockHttpServletRequest request = new MockHttpServletRequest(method, "/api/v1/encounters");
        request.setServerName(host);
        request.addHeader("Host", host);
        if (!origin.isEmpty()) {
            request.addHeader("Origin", origin);
        }
        MockHttpServletResponse response = new MockHttpServletResponse();

        guard().doFilter(request, response, new MockFilterChain());

        assertThat(response.getStatus()).isEqualTo(status);
        assertThat(response.getHeader("Content-Security-Policy")).contains("default-src 'none'");
    }

    /** A form of a page that sends no referrer has the origin "null"; the browser tells by itself where it is from. */
    @ParameterizedTest
    @CsvSource({"same-origin, 200", "same-site, 403", "cross-site, 403", "none, 403"})
    void takesAFormOfItsOwnPagesThatHidesItsOrigin(String site, int status) throws ServletException, IOException {
        MockHttpServletRequest request = new MockHttpServletRequest("POST", "/record");
        request.setServerName("localhost");
        request.addHeader("Host", "localhost");
        request.addHeader("Origin", "null");
        request.addHeader("Sec-Fetch-Site", site);
        MockHttpServletResponse response = new MockHttpServletResponse();

        guard().doFilter(request, response, new MockFilterChain());

        assertThat(response.getStatus()).isEqualTo(status);
    }

    /** S10: a year (RFC 6797, section 6.1.1), where browsers come by https. */
    @ParameterizedTest
    @CsvSource(
            value = {
                "https://register.example, max-age=31536000; includeSubDomains",
                "http://register.example, none",
                "none, none"
            },
            nullValues = "none")
    void bindsBrowsersToHttpsWhereTheyComeByIt(String address, String header) throws ServletException, IOException {
        MockHttpServletResponse response = new MockHttpServletResponse();

        new BrowserGuard(new PublicAddress(address))
                .doFilter(new MockHttpServletRequest("GET", "/"), response, new MockFilterChain());

        assertThat(response.getHeader("Strict-Transport-Security")).isEqualTo(header);
    }

    private static BrowserGuard guard() {
        return new BrowserGuard(new PublicAddress(null));
    }
}
