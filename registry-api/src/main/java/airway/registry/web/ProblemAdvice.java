package airway.registry.web;

import airway.registry.problem.Fault;
import airway.registry.problem.Problem;
import jakarta.servlet.RequestDispatcher;
import jakarta.servlet.http.HttpServletRequest;
import java.sql.SQLTransientConnectionException;
import java.util.List;
import java.util.Locale;
import java.util.UUID;
import org.apache.tomcat.util.http.InvalidParameterException;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.dao.DataAccessResourceFailureException;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpStatus;
import org.springframework.http.HttpStatusCode;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.transaction.CannotCreateTransactionException;
import org.springframework.web.ErrorResponse;
import org.springframework.web.bind.annotation.ControllerAdvice;
import org.springframework.web.bind.annotation.ExceptionHandler;
import org.springframework.web.servlet.ModelAndView;
import org.springframework.web.servlet.view.RedirectView;

/**
 * The one place where problems become status codes: problem+json for programs, a page in words for people. Nothing a
 * user typed, no SQL and no path of this machine is ever told.
 */
@ControllerAdvice
class ProblemAdvice {
    private static final Logger LOG = LoggerFactory.getLogger(ProblemAdvice.class);

    @ExceptionHandler
    Object problem(Problem problem, HttpServletRequest request) {
        HttpStatus status = status(problem);
        if (status.is5xxServerError()) {
            LOG.error(
                    "{} {} failed: {}",
                    request.getMethod(),
                    request.getServletPath(),
                    String.valueOf(problem.getCause()));
        }
        Object answer = answer(request, status, problem.slug(), problem.title(), problem.detail(), problem.faults());
        if (answer instanceof ResponseEntity<?> entity) {
            if (problem instanceof Problem.Stale stale) {
                return with(entity, HttpHeaders.ETAG, stale.tag());
            } else if (problem instanceof Problem.SignedOut) {
                return with(entity, HttpHeaders.WWW_AUTHENTICATE, "Bearer");
            } else if (problem instanceof Problem.TooMany many) {
                return with(entity, HttpHeaders.RETRY_AFTER, String.valueOf(many.seconds()));
            }
        } else if (problem instanceof Problem.SignedOut && request.getMethod().equals("GET")) {
            RedirectView signIn = new RedirectView(SignInFirst.path(request));
            signIn.setStatusCode(HttpStatus.SEE_OTHER);
            return new ModelAndView(signIn);
        }
        return answer;
    }

    @ExceptionHandler
    Object anythingElse(Exception e, HttpServletRequest request) {
        if (e instanceof ErrorResponse known) {
            return framework(request, known.getStatusCode(), known.getHeaders());
        }
        if (e instanceof InvalidParameterException form) {
            return form.getErrorCode() == HttpStatus.CONTENT_TOO_LARGE.value()
                    ? problem(new Problem.TooLarge("The form is larger than this registry reads."), request)
                    : framework(request, HttpStatus.BAD_REQUEST, HttpHeaders.EMPTY);
        }
        if (databaseIsAway(e)) {
            return problem(new Problem.Unavailable(e), request);
        }
        LOG.error("{} {} failed", request.getMethod(), request.getServletPath(), e);
        return framework(request, HttpStatus.INTERNAL_SERVER_ERROR, HttpHeaders.EMPTY);
    }

    /** Whether a session could not be read or kept because the database does not answer. */
    static boolean databaseIsAway(@Nullable Throwable e) {
        for (Throwable cause = e; cause != null; cause = cause.getCause()) {
            if (cause instanceof CannotCreateTransactionException
                    || cause instanceof DataAccessResourceFailureException
                    || cause instanceof SQLTransientConnectionException) {
                return true;
            }
        }
        return false;
    }

    /** An answer to what the framework or the server itself turned away. */
    static Object framework(HttpServletRequest request, HttpStatusCode code, HttpHeaders headers) {
        HttpStatus status = HttpStatus.valueOf(code.value());
        String slug = status.getReasonPhrase().toLowerCase(Locale.ROOT).replace(' ', '-');
        String detail = switch (status) {
            case NOT_FOUND -> "There is nothing at this address, or it belongs to another unit.";
            case METHOD_NOT_ALLOWED -> "This address does not take that method; see the header Allow.";
            case UNSUPPORTED_MEDIA_TYPE -> "Send the body as application/json.";
            case CONTENT_TOO_LARGE -> "More was sent than the registry reads; a table may have 64 MiB.";
            case NOT_ACCEPTABLE -> "This address does not answer in that form.";
            case INTERNAL_SERVER_ERROR ->
                "Something went wrong here. Nothing was stored. The number helps to find out what.";
            default -> "The request cannot be answered as it is.";
        };
        Object answer = answer(request, status, slug, status.getReasonPhrase(), detail, List.of());
        String allowed = headers.getFirst(HttpHeaders.ALLOW);
        return allowed != null && answer instanceof ResponseEntity<?> entity
                ? with(entity, HttpHeaders.ALLOW, allowed)
                : answer;
    }

    private static ResponseEntity<?> with(ResponseEntity<?> answer, String header, String value) {
        return ResponseEntity.status(answer.getStatusCode())
                .headers(answer.getHeaders())
                .header(header, value)
                .body(answer.getBody());
    }

    private static Object answer(
            HttpServletRequest request,
            HttpStatus status,
            String slug,
            String title,
            String detail,
            List<Fault> faults) {
        UUID id = RequestId.of(request);
        if (wantsPage(request)) {
            ModelAndView page = new ModelAndView("problem", status);
            page.addObject("title", title);
            page.addObject("detail", detail);
            page.addObject("faults", faults);
            page.addObject("number", id);
            page.addObject("away", status == HttpStatus.SERVICE_UNAVAILABLE);
            return page;
        }
        ResponseEntity.BodyBuilder answer =
                ResponseEntity.status(status).header(HttpHeaders.CONTENT_TYPE, ProblemJson.MEDIA_TYPE);
        if (status == HttpStatus.SERVICE_UNAVAILABLE || status == HttpStatus.CONFLICT) {
            answer.header(HttpHeaders.RETRY_AFTER, "2");
        }
        return answer.body(ProblemJson.write(slug, title, status.value(), detail, id, faults));
    }

    /** People get a page; the API always answers programs. */
    private static boolean wantsPage(HttpServletRequest request) {
        Object original = request.getAttribute(RequestDispatcher.ERROR_REQUEST_URI);
        String path = original == null ? request.getRequestURI() : original.toString();
        String accept = request.getHeader(HttpHeaders.ACCEPT);
        return !path.startsWith("/api/") && accept != null && accept.contains(MediaType.TEXT_HTML_VALUE);
    }

    private static HttpStatus status(Problem problem) {
        if (problem instanceof Problem.Malformed) {
            return HttpStatus.BAD_REQUEST;
        } else if (problem instanceof Problem.Invalid
                || problem instanceof Problem.TooSmall
                || problem instanceof Problem.GivesAway
                || problem instanceof Problem.NeverLeaves
                || problem instanceof Problem.ApprovalMissing
                || problem instanceof Problem.ApprovalExpired
                || problem instanceof Problem.Recognisable
                || problem instanceof Problem.TooClose
                || problem instanceof Problem.LossNotAccepted) {
            return HttpStatus.UNPROCESSABLE_CONTENT;
        } else if (problem instanceof Problem.SignedOut) {
            return HttpStatus.UNAUTHORIZED;
        } else if (problem instanceof Problem.NotAllowed || problem instanceof Problem.OwnRequest) {
            return HttpStatus.FORBIDDEN;
        } else if (problem instanceof Problem.TooMany) {
            return HttpStatus.TOO_MANY_REQUESTS;
        } else if (problem instanceof Problem.Missing || problem instanceof Problem.LinkSpent) {
            return HttpStatus.NOT_FOUND;
        } else if (problem instanceof Problem.Conflict) {
            return HttpStatus.CONFLICT;
        } else if (problem instanceof Problem.Stale) {
            return HttpStatus.PRECONDITION_FAILED;
        } else if (problem instanceof Problem.Unconditional) {
            return HttpStatus.PRECONDITION_REQUIRED;
        } else if (problem instanceof Problem.TooLarge) {
            return HttpStatus.CONTENT_TOO_LARGE;
        }
        return HttpStatus.SERVICE_UNAVAILABLE;
    }
}
