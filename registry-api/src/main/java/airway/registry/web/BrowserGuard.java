package airway.registry.web;

import airway.registry.access.PublicAddress;
import airway.registry.problem.Fault;
import jakarta.servlet.FilterChain;
import jakarta.servlet.ServletException;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Set;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import org.springframework.web.filter.OncePerRequestFilter;

/**
 * What a browser may do with our pages, and that only our own pages send forms to us: a request that changes something
 * and says it comes from elsewhere is refused, before anybody asks for the secret that every form carries.
 */
@Component
@Order(1)
class BrowserGuard extends OncePerRequestFilter {
    private static final Set<String> HERE = Set.of("127.0.0.1", "localhost", "[::1]", "::1");
    private static final Set<String> READING = Set.of("GET", "HEAD", "OPTIONS");

    private static final String A_YEAR = "max-age=31536000; includeSubDomains";

    private final PublicAddress address;

    BrowserGuard(PublicAddress address) {
        this.address = address;
    }

    @Override
    protected void doFilterInternal(HttpServletRequest request, HttpServletResponse response, FilterChain chain)
            throws ServletException, IOException {
        response.setHeader(
                "Content-Security-Policy",
                "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; font-src 'self';"
                        + " connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'");
        response.setHeader("X-Content-Type-Options", "nosniff");
        response.setHeader("Referrer-Policy", "no-referrer");
        response.setHeader("Cross-Origin-Opener-Policy", "same-origin");
        response.setHeader("Cross-Origin-Resource-Policy", "same-origin");
        if (address.secure()) {
            response.setHeader("Strict-Transport-Security", A_YEAR);
        }
        if (!request.getRequestURI().startsWith("/static/")) {
            response.setHeader("Cache-Control", "no-store");
        }
        if (askedByOurName(request) && (READING.contains(request.getMethod()) || fromHere(request))) {
            chain.doFilter(request, response);
        } else {
            response.setStatus(HttpServletResponse.SC_FORBIDDEN);
            response.setContentType(ProblemJson.MEDIA_TYPE);
            response.getOutputStream()
                    .write(ProblemJson.write(
                                    "refused",
                                    "Not allowed",
                                    HttpServletResponse.SC_FORBIDDEN,
                                    "This request comes from another site; only the registry's own pages may send it.",
                                    RequestId.of(request),
                                    List.of(Fault.parameter("Origin", "origin", "Send it from the registry's page.")))
                            .getBytes(StandardCharsets.UTF_8));
        }
    }

    /** A page from elsewhere may make its own name lead to this machine; the name it was asked by gives it away. */
    private boolean askedByOurName(HttpServletRequest request) {
        String host = String.valueOf(request.getServerName());
        return HERE.contains(host) || address.named(host);
    }

    private static boolean fromHere(HttpServletRequest request) {
        String origin = request.getHeader("Origin");
        String site = request.getHeader("Sec-Fetch-Site");
        if (origin == null) {
            return site == null || site.equals("same-origin") || site.equals("none");
        } else if (origin.equals("null")) {
            // So says a form of our own pages, since they send no referrer; the browser itself tells where it came
            // from.
            return "same-origin".equals(site);
        }
        try {
            return String.valueOf(URI.create(origin).getAuthority()).equals(request.getHeader("Host"));
        } catch (IllegalArgumentException e) {
            return false;
        }
    }
}
