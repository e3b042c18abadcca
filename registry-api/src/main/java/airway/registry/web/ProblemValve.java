package airway.registry.web;

import airway.registry.problem.Fault;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.UUID;
import org.apache.catalina.connector.Request;
import org.apache.catalina.connector.Response;
import org.apache.catalina.core.StandardHost;
import org.apache.catalina.valves.ErrorReportValve;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.tomcat.servlet.TomcatServletWebServerFactory;
import org.springframework.boot.web.server.WebServerFactoryCustomizer;
import org.springframework.stereotype.Component;

/** Answers what the server turns away before any page or API sees it: a problem like every other, and no version told. */
public final class ProblemValve extends ErrorReportValve {
    private static final int FIRST_ERROR = 400;

    @Override
    protected void report(Request request, Response response, @Nullable Throwable throwable) {
        if (response.getStatus() < FIRST_ERROR || response.getContentWritten() > 0 || !response.setErrorReported()) {
            return;
        }
        byte[] problem = ProblemJson.write(
                        "bad-request",
                        "Bad request",
                        response.getStatus(),
                        "The address or the headers of the request cannot be read.",
                        UUID.randomUUID(),
                        List.<Fault>of())
                .getBytes(StandardCharsets.UTF_8);
        try {
            response.setContentType(ProblemJson.MEDIA_TYPE);
            response.setHeader("X-Content-Type-Options", "nosniff");
            response.setHeader("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'");
            response.getOutputStream().write(problem);
            response.finishResponse();
        } catch (IOException | IllegalStateException gone) {
            container.getLogger().debug("nobody waits for the answer", gone);
        }
    }

    /** Puts the valve in the place of the server's own pages. */
    @Component
    static final class Fitting implements WebServerFactoryCustomizer<TomcatServletWebServerFactory> {
        @Override
        public void customize(TomcatServletWebServerFactory factory) {
            factory.addContextCustomizers(context -> {
                if (context.getParent() instanceof StandardHost host) {
                    host.setErrorReportValveClass(ProblemValve.class.getName());
                }
            });
        }
    }
}
