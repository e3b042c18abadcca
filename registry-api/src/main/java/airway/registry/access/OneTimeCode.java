package airway.registry.access;

import com.eatthepath.otp.TimeBasedOneTimePasswordGenerator;
import com.google.zxing.BarcodeFormat;
import com.google.zxing.EncodeHintType;
import com.google.zxing.WriterException;
import com.google.zxing.common.BitMatrix;
import com.google.zxing.qrcode.QRCodeWriter;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.security.InvalidKeyException;
import java.security.SecureRandom;
import java.time.Instant;
import java.util.Map;
import java.util.OptionalLong;
import javax.crypto.spec.SecretKeySpec;

/** One-time codes of six digits by the clock (RFC 6238: HMAC-SHA-1, steps of 30 seconds). */
final class OneTimeCode {
    private static final int SECRET_BYTES = 20;
    private static final long STEP_SECONDS = 30;
    private static final String BASE32 = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";
    private static final int BITS = 5;

    private OneTimeCode() {}

    /** A new secret of 160 bits, as long as the hash (RFC 4226, requirement R6). */
    static byte[] secret() {
        byte[] secret = new byte[SECRET_BYTES];
        new SecureRandom().nextBytes(secret);
        return secret;
    }

    /** The code of a moment. */
    static String at(byte[] secret, Instant when) {
        try {
            return new TimeBasedOneTimePasswordGenerator()
                    .generateOneTimePasswordString(new SecretKeySpec(secret, "HmacSHA1"), when);
        } catch (InvalidKeyException e) {
            throw new IllegalStateException(e);
        }
    }

    /** The step of time this code belongs to: now, the one before or the one after; none if to none of them. */
    static OptionalLong step(byte[] secret, String typed, Instant now) {
        String code = typed.replace(" ", "");
        long step = Math.floorDiv(now.getEpochSecond(), STEP_SECONDS);
        for (long candidate = step - 1; candidate <= step + 1; candidate++) {
            if (at(secret, Instant.ofEpochSecond(candidate * STEP_SECONDS)).equals(code)) {
                return OptionalLong.of(candidate);
            }
        }
        return OptionalLong.empty();
    }

    /** Bytes as letters and digits that can be typed (RFC 4648, base 32 without padding). */
    static String base32(byte[] bytes) {
        StringBuilder out = new StringBuilder();
        int held = 0;
        int bits = 0;
        for (byte next : bytes) {
            held = (held << Byte.SIZE) | (next & 0xFF);
            bits += Byte.SIZE;
            while (bits >= BITS) {
                bits -= BITS;
                out.append(BASE32.charAt((held >>> bits) & 31));
            }
            held &= (1 << bits) - 1;
        }
        if (bits > 0) {
            out.append(BASE32.charAt((held << (BITS - bits)) & 31));
        }
        return out.toString();
    }

    /** The secret as dots for the camera of a phone: a QR code of an otpauth address. */
    static BitMatrix dots(byte[] secret, String login) {
        String address = "otpauth://totp/Airway%20register:"
                + URLEncoder.encode(login, StandardCharsets.UTF_8).replace("+", "%20")
                + "?secret=" + base32(secret) + "&issuer=Airway%20register";
        try {
            return new QRCodeWriter().encode(address, BarcodeFormat.QR_CODE, 0, 0, Map.of(EncodeHintType.MARGIN, 2));
        } catch (WriterException e) {
            throw new IllegalStateException(e);
        }
    }
}
