package airway.registry.encounter;

import java.util.List;

/** One approach together with one plan of drugs, with the attempts made in it. */
public record Course(Answers answers, List<Answers> drugs, List<Answers> attempts) {}
