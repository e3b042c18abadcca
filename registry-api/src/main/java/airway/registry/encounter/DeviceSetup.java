package airway.registry.encounter;

/** A set-up of laryngoscope and screen that the unit uses; without names of makers. */
public record DeviceSetup(String id, String title, Answers answers) {}
