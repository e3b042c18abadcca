package airway.registry.people;

import com.nimbusds.jose.JOSEException;
import com.nimbusds.jose.JWSAlgorithm;
import com.nimbusds.jose.JWSHeader;
import com.nimbusds.jose.crypto.RSASSASigner;
import com.nimbusds.jose.jwk.JWKSet;
import com.nimbusds.jose.jwk.RSAKey;
import com.nimbusds.jose.jwk.gen.RSAKeyGenerator;
import com.nimbusds.jwt.JWTClaimsSet;
import com.nimbusds.jwt.PlainJWT;
import com.nimbusds.jwt.SignedJWT;
import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URLDecoder;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.Date;
import java.util.HashMap;
import java.util.Map;
import java.util.UUID;
import java.util.concurrent.ConcurrentHashMap;

/** A provider by OpenID Connect Core 1.0 (authorization code), which can be told to misbehave. */
final class TrialProvider implements AutoCloseable {
    /** What is wrong with the next token. */
    enum Fault {
        NONE,
        OTHER_ISSUER,
        OTHER_AUDIENCE,
        OTHER_NONCE,
        NO_ALGORITHM,
        EXPIRED,
        OTHER_KEY
    }

    private final HttpServer server;
    private final RSAKey key = key();
    private final RSAKey otherKey = key();
    private final Map<String, String> nonces = new ConcurrentHashMap<>();
    private volatile Fault fault = Fault.NONE;
    private volatile String subject = "";

    TrialProvider() {
        try {
            server = HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        server.createContext("/.well-known/openid-configuration", exchange -> json(exchange, """
                {"issuer": "%1$s", "authorization_endpoint": "%1$s/authorize", "token_endpoint": "%1$s/token",
                 "jwks_uri": "%1$s/keys", "response_types_supported": ["code"], "subject_types_supported": ["public"],
                 "id_token_signing_alg_values_supported": ["RS256"]}""".formatted(issuer())));
        server.createContext("/keys", exchange -> json(exchange, new JWKSet(key.toPublicJWK()).toString()));
        server.createContext("/authorize", this::authorize);
        server.createContext("/token", this::token);
        server.start();
    }

    private static RSAKey key() {
        try {
            return new RSAKeyGenerator(2048).keyID(UUID.randomUUID().toString()).generate();
        } catch (JOSEException e) {
            throw new IllegalStateException(e);
        }
    }

    String issuer() {
        return "http://127.0.0.1:" + server.getAddress().getPort();
    }

    /** The next sign-in is of this person, and its token has this fault. */
    void next(String person, Fault wrong) {
        this.subject = person;
        this.fault = wrong;
    }

    private void authorize(HttpExchange exchange) throws IOException {
        Map<String, String> asked = parameters(exchange.getRequestURI().getRawQuery());
        String code = UUID.randomUUID().toString();
        nonces.put(code, String.valueOf(asked.get("nonce")));
        exchange.getResponseHeaders()
                .add(
                        "Location",
                        asked.get("redirect_uri") + "?code=" + code + "&state="
                                + String.valueOf(asked.get("state")).replace("=", "%3D"));
        exchange.sendResponseHeaders(302, -1);
        exchange.close();
    }

    private void token(HttpExchange exchange) throws IOException {
        String body = new String(exchange.getRequestBody().readAllBytes(), StandardCharsets.UTF_8);
        String nonce = nonces.get(parameters(body).get("code"));
        Instant now = Instant.now();
        Instant issued = fault == Fault.EXPIRED ? now.minusSeconds(7_200) : now;
        JWTClaimsSet claims = new JWTClaimsSet.Builder()
                .issuer(fault == Fault.OTHER_ISSUER ? "https://elsewhere.example" : issuer())
                .subject(subject)
                .audience(fault == Fault.OTHER_AUDIENCE ? "somebody-else" : "register")
                .issueTime(Date.from(issued))
                .expirationTime(Date.from(issued.plusSeconds(300)))
                .claim("nonce", fault == Fault.OTHER_NONCE ? "x" : nonce)
                .claim("email", "recorder@example.org")
                .build();
        json(exchange, """
                {"access_token": "%s", "token_type": "Bearer", "expires_in": 300, "id_token": "%s"}""".formatted(UUID.randomUUID(), token(claims)));
    }

    private String token(JWTClaimsSet claims) {
        if (fault == Fault.NO_ALGORITHM) {
            return new PlainJWT(claims).serialize();
        }
        try {
            SignedJWT token = new SignedJWT(
                    new JWSHeader.Builder(JWSAlgorithm.RS256)
                            .keyID(key.getKeyID())
                            .build(),
                    claims);
            token.sign(new RSASSASigner(fault == Fault.OTHER_KEY ? otherKey : key));
            return token.serialize();
        } catch (JOSEException e) {
            throw new IllegalStateException(e);
        }
    }

    private static Map<String, String> parameters(String query) {
        Map<String, String> parameters = new HashMap<>();
        for (String part : query.split("&", -1)) {
            String[] pair = part.split("=", 2);
            parameters.put(pair[0], URLDecoder.decode(pair[1], StandardCharsets.UTF_8));
        }
        return parameters;
    }

    private static void json(HttpExchange exchange, String text) throws IOException {
        byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
        exchange.getResponseHeaders().add("Content-Type", "application/json");
        exchange.sendResponseHeaders(200, bytes.length);
        exchange.getResponseBody().write(bytes);
        exchange.close();
    }

    @Override
    public void close() {
        server.stop(0);
    }
}
