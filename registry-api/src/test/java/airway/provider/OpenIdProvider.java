package airway.provider;

import com.nimbusds.jose.JOSEException;
import com.nimbusds.jose.jwk.JWKSet;
import com.nimbusds.jose.jwk.RSAKey;
import com.nimbusds.jose.jwk.gen.RSAKeyGenerator;
import com.nimbusds.jose.jwk.source.ImmutableJWKSet;
import com.nimbusds.jose.jwk.source.JWKSource;
import com.nimbusds.jose.proc.SecurityContext;
import java.io.BufferedReader;
import java.io.File;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.apache.catalina.Context;
import org.apache.catalina.LifecycleException;
import org.apache.catalina.servlets.DefaultServlet;
import org.apache.catalina.startup.Tomcat;
import org.apache.tomcat.util.descriptor.web.FilterDef;
import org.apache.tomcat.util.descriptor.web.FilterMap;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.security.config.Customizer;
import org.springframework.security.config.annotation.web.builders.HttpSecurity;
import org.springframework.security.config.annotation.web.configuration.EnableWebSecurity;
import org.springframework.security.config.annotation.web.configuration.OAuth2AuthorizationServerConfiguration;
import org.springframework.security.core.userdetails.User;
import org.springframework.security.core.userdetails.UserDetails;
import org.springframework.security.core.userdetails.UserDetailsService;
import org.springframework.security.oauth2.core.AuthorizationGrantType;
import org.springframework.security.oauth2.core.ClientAuthenticationMethod;
import org.springframework.security.oauth2.jwt.JwtDecoder;
import org.springframework.security.oauth2.server.authorization.client.InMemoryRegisteredClientRepository;
import org.springframework.security.oauth2.server.authorization.client.RegisteredClient;
import org.springframework.security.oauth2.server.authorization.client.RegisteredClientRepository;
import org.springframework.security.oauth2.server.authorization.settings.AuthorizationServerSettings;
import org.springframework.security.provisioning.InMemoryUserDetailsManager;
import org.springframework.security.web.SecurityFilterChain;
import org.springframework.web.context.support.AnnotationConfigWebApplicationContext;
import org.springframework.web.filter.DelegatingFilterProxy;

/**
 * A provider of OpenID Connect that others wrote and keep (Spring's authorization server), in a process of its own.
 *
 * <p>It stands outside the packages of the register, which must not find its settings.
 */
public final class OpenIdProvider implements AutoCloseable {
    public static final String CLIENT = "register";
    public static final String SECRET = "shared with the provider";
    public static final String PASSWORD = "kept at the provider";

    private static final String STARTED = "provider at ";

    private final Process process;
    private final String issuer;

    private OpenIdProvider(Process process, String issuer) {
        this.process = process;
        this.issuer = issuer;
    }

    /** Starts the process and waits until it serves. */
    public static OpenIdProvider start() {
        try {
            Process process = new ProcessBuilder(
                            Path.of(System.getProperty("java.home"), "bin", "java")
                                    .toString(),
                            "-cp",
                            System.getProperty("java.class.path"),
                            OpenIdProvider.class.getName())
                    .redirectErrorStream(true)
                    .start();
            BufferedReader said = process.inputReader(StandardCharsets.UTF_8);
            List<String> before = new ArrayList<>();
            for (String line = said.readLine(); line != null; line = said.readLine()) {
                if (line.startsWith(STARTED)) {
                    return new OpenIdProvider(process, line.substring(STARTED.length()));
                }
                before.add(line);
            }
            throw new IllegalStateException("the provider did not start: " + before);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    public String issuer() {
        return issuer;
    }

    @Override
    public void close() {
        process.destroy();
        process.onExit().join();
    }

    public static void main(String[] none) throws IOException, LifecycleException {
        Tomcat tomcat = new Tomcat();
        File work = Files.createTempDirectory("provider").toFile();
        tomcat.setBaseDir(work.toString());
        tomcat.setPort(0);
        Context context = tomcat.addContext("", work.toString());
        Tomcat.addServlet(context, "nothing", new DefaultServlet());
        context.addServletMappingDecoded("/", "nothing");
        AnnotationConfigWebApplicationContext beans = new AnnotationConfigWebApplicationContext();
        beans.register(Rules.class);
        context.addServletContainerInitializer(
                (types, servlets) -> {
                    beans.setServletContext(servlets);
                    beans.refresh();
                },
                Set.of());
        FilterDef filter = new FilterDef();
        filter.setFilterName("rules");
        filter.setFilter(new DelegatingFilterProxy("springSecurityFilterChain", beans));
        FilterMap everywhere = new FilterMap();
        everywhere.setFilterName("rules");
        everywhere.addURLPattern("/*");
        context.addFilterDef(filter);
        context.addFilterMap(everywhere);
        tomcat.start();
        System.out.println(STARTED + "http://127.0.0.1:" + tomcat.getConnector().getLocalPort());
        tomcat.getServer().await();
    }

    @Configuration
    @EnableWebSecurity
    static class Rules {
        @Bean
        SecurityFilterChain chain(HttpSecurity http) {
            return http.oauth2AuthorizationServer(server -> server.oidc(Customizer.withDefaults()))
                    .authorizeHttpRequests(all -> all.anyRequest().authenticated())
                    .formLogin(Customizer.withDefaults())
                    .build();
        }

        @Bean
        UserDetailsService people() {
            return new InMemoryUserDetailsManager(person("ash"), person("birch"));
        }

        private static UserDetails person(String name) {
            return User.withUsername(name).password("{noop}" + PASSWORD).roles().build();
        }

        @Bean
        RegisteredClientRepository clients() {
            return new InMemoryRegisteredClientRepository(RegisteredClient.withId("1")
                    .clientId(CLIENT)
                    .clientSecret("{noop}" + SECRET)
                    .clientAuthenticationMethod(ClientAuthenticationMethod.CLIENT_SECRET_BASIC)
                    .authorizationGrantType(AuthorizationGrantType.AUTHORIZATION_CODE)
                    // The port of a loopback address does not matter: RFC 8252, section 7.3.
                    .redirectUri("http://127.0.0.1/sign-in/from/provider")
                    .scope("openid")
                    .build());
        }

        @Bean
        AuthorizationServerSettings settings() {
            return AuthorizationServerSettings.builder().build();
        }

        @Bean
        JwtDecoder decoder(JWKSource<SecurityContext> keys) {
            return OAuth2AuthorizationServerConfiguration.jwtDecoder(keys);
        }

        @Bean
        JWKSource<SecurityContext> keys() throws JOSEException {
            RSAKey key = new RSAKeyGenerator(2048).keyID("1").generate();
            return new ImmutableJWKSet<>(new JWKSet(key));
        }
    }
}
