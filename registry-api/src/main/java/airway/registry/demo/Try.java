package airway.registry.demo;

/**
 * One attempt as it was in truth.
 *
 * @param passes how often the tube was advanced
 * @param oesophagus the tube lay there
 */
record Try(Operator operator, SetupPlan setup, boolean success, int passes, boolean oesophagus) {}
