package airway.registry.web;

import jakarta.servlet.FilterChain;
import jakarta.servlet.ServletException;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletRequestWrapper;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.util.Collections;
import java.util.Enumeration;
import java.util.LinkedHashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.springframework.web.filter.OncePerRequestFilter;

/**
 * Behind the check of the secret that every form carries, nobody sees it any more: what a page finds in a form is what somebody typed
 * or chose, and may be kept or asked for as it stands. Whoever sends the field where none is asked for, as with a token, has sent nothing.
 */
final class SecretSpent extends OncePerRequestFilter {
    /** The name of the field. */
    static final String FIELD = "_csrf";

    @Override
    protected void doFilterInternal(HttpServletRequest request, HttpServletResponse response, FilterChain chain)
            throws ServletException, IOException {
        chain.doFilter(new WithoutSecret(request), response);
    }

    private static final class WithoutSecret extends HttpServletRequestWrapper {
        WithoutSecret(HttpServletRequest request) {
            super(request);
        }

        @Override
        public @Nullable String getParameter(String name) {
            return name.equals(FIELD) ? null : super.getParameter(name);
        }

        /** Of a form with a file the fields are asked for by the names of its parts, and null is not expected there. */
        @Override
        public String @Nullable [] getParameterValues(String name) {
            return name.equals(FIELD) ? new String[0] : super.getParameterValues(name);
        }

        @Override
        public Map<String, String[]> getParameterMap() {
            Map<String, String[]> without = new LinkedHashMap<>(super.getParameterMap());
            without.remove(FIELD);
            return Collections.unmodifiableMap(without);
        }

        @Override
        public Enumeration<String> getParameterNames() {
            return Collections.enumeration(getParameterMap().keySet());
        }
    }
}
