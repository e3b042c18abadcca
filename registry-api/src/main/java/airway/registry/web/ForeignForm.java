package airway.registry.web;

import airway.registry.access.SignedIn;
import airway.registry.problem.Problem;
import jakarta.servlet.RequestDispatcher;
import jakarta.servlet.ServletException;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import org.springframework.security.access.AccessDeniedException;
import org.springframework.security.core.Authentication;
import org.springframework.security.core.context.SecurityContextHolder;
import org.springframework.security.web.access.AccessDeniedHandler;

/**
 * A form without the secret of its session: sent by another site, or by a page that was opened before the session ended.
 * The first is refused, the second is asked to sign in again.
 */
final class ForeignForm implements AccessDeniedHandler {
    @Override
    public void handle(HttpServletRequest request, HttpServletResponse response, AccessDeniedException why)
            throws IOException, ServletException {
        Authentication authentication = SecurityContextHolder.getContext().getAuthentication();
        boolean signedIn = authentication != null && authentication.getPrincipal() instanceof SignedIn;
        Problem problem = signedIn
                ? new Problem.NotAllowed("The form does not come from a page of this session; nothing was stored."
                        + " Go back, reload the page and send it again.")
                : new Problem.SignedOut();
        request.setAttribute(RequestDispatcher.ERROR_EXCEPTION, problem);
        request.setAttribute(RequestDispatcher.ERROR_REQUEST_URI, request.getRequestURI());
        request.getRequestDispatcher("/error").forward(request, response);
    }
}
