package airway.registry.research;

import java.time.LocalDate;

/**
 * Under what somebody asks for data.
 *
 * @param recipient who will hold them, a body
 * @param approvalReference number of the approval by an ethics committee or its like
 * @param approvalExpires last day on which that holds
 */
record Terms(String purpose, String recipient, String approvalReference, LocalDate approvalExpires) {
    boolean expiredOn(LocalDate day) {
        return approvalExpires.isBefore(day);
    }
}
