package airway.registry.web;

import airway.registry.access.Open;
import airway.registry.problem.Problem;
import jakarta.servlet.RequestDispatcher;
import jakarta.servlet.http.HttpServletRequest;
import org.springframework.boot.webmvc.error.ErrorController;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpStatus;
import org.springframework.stereotype.Controller;
import org.springframework.web.bind.annotation.RequestMapping;

/** Answers what never reached a handler; the framework's own fallback does not speak problem+json. */
@Open
@Controller
class ErrorPages implements ErrorController {
    @RequestMapping("/error")
    Object error(HttpServletRequest request) {
        if (request.getAttribute(RequestDispatcher.ERROR_EXCEPTION) instanceof Problem problem) {
            throw problem;
        }
        if (request.getAttribute(RequestDispatcher.ERROR_EXCEPTION) instanceof Throwable cause
                && ProblemAdvice.databaseIsAway(cause)) {
            throw new Problem.Unavailable(cause);
        }
        Object code = request.getAttribute(RequestDispatcher.ERROR_STATUS_CODE);
        HttpStatus status = code instanceof Integer number ? HttpStatus.resolve(number) : HttpStatus.NOT_FOUND;
        return ProblemAdvice.framework(
                request, status == null ? HttpStatus.INTERNAL_SERVER_ERROR : status, HttpHeaders.EMPTY);
    }
}
