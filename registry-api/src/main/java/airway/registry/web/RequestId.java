package airway.registry.web;

import jakarta.servlet.FilterChain;
import jakarta.servlet.ServletException;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.util.UUID;
import org.slf4j.MDC;
import org.springframework.core.Ordered;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import org.springframework.web.filter.OncePerRequestFilter;

/** Gives each request a number that the user sees and the log names: nothing else joins the two. */
@Component
@Order(Ordered.HIGHEST_PRECEDENCE)
class RequestId extends OncePerRequestFilter {
    private static final String NAME = "request";

    static UUID of(HttpServletRequest request) {
        return request.getAttribute(NAME) instanceof UUID id ? id : UUID.randomUUID();
    }

    @Override
    protected void doFilterInternal(HttpServletRequest request, HttpServletResponse response, FilterChain chain)
            throws ServletException, IOException {
        UUID id = UUID.randomUUID();
        request.setAttribute(NAME, id);
        MDC.put(NAME, id.toString());
        try {
            chain.doFilter(request, response);
        } finally {
            MDC.remove(NAME);
        }
    }
}
