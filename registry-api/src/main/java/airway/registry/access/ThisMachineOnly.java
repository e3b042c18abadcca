package airway.registry.access;

import java.net.InetAddress;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Component;

/** Other machines reach the register by https only: records of children and passwords go over the line. */
@Component
class ThisMachineOnly {
    ThisMachineOnly(PublicAddress address, @Value("${server.address}") InetAddress listening) {
        if (!listening.isLoopbackAddress() && !address.secure()) {
            throw new RefusedByPolicy("Without https the registry serves this machine only: leave server.address at"
                    + " 127.0.0.1, or name the https address browsers use with airway.public-url.");
        }
    }
}
