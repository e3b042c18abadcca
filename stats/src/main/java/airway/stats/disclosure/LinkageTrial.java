package airway.stats.disclosure;

import airway.stats.disclosure.EquivalenceClasses.EquivalenceClass;
import airway.stats.disclosure.Generalisation.Fine;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * An intruder who knows of every patient all that could be known, as exactly as it was recorded, and tries each: of the rows
 * that fit, one is picked blindly. The chance is worked out, not drawn; of rows that were left out it is 0. A patient with
 * several rows is tried by each, and counts once.
 *
 * @param patients those who were tried
 * @param found the mean chance that the row picked is one of the patient's, in [0, 1]; 0 without patients
 */
public record LinkageTrial(long patients, double found) {

    /**
     * Tries all patients.
     *
     * @param rows all rows before some were left out
     * @param told what is told of them
     */
    public static LinkageTrial of(List<Fine> rows, Generalisation told) {
        Map<String, Integer> number = new HashMap<>();
        rows.forEach(row -> number.merge(row.patient(), 1, Integer::sum));
        double sum = 0;
        for (EquivalenceClass one : told.classes().all()) {
            Map<String, Integer> own = new HashMap<>();
            one.rows().forEach(row -> own.merge(rows.get(row).patient(), 1, Integer::sum));
            for (Map.Entry<String, Integer> patient : own.entrySet()) {
                double chance = (double) patient.getValue() / one.rows().size();
                sum += chance * patient.getValue() / number.getOrDefault(patient.getKey(), 1);
            }
        }
        return new LinkageTrial(number.size(), number.isEmpty() ? 0 : sum / number.size());
    }
}
