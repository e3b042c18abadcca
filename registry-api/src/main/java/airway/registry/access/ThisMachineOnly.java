package airway.registry.access;

import java.net.InetAddress;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Component;

/** Nobody signs in yet, so nobody but this machine is served: records of children lie behind the port. */
@Component
class ThisMachineOnly {
    ThisMachineOnly(@Value("${server.address}") InetAddress address) {
        if (!address.isLoopbackAddress()) {
            throw new RefusedByPolicy("There is no sign-in yet, so the registry serves this machine only:"
                    + " leave server.address at 127.0.0.1.");
        }
    }
}
