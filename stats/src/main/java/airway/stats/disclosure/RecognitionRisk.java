package airway.stats.disclosure;

import airway.stats.disclosure.EquivalenceClasses.EquivalenceClass;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * The risk that a patient is recognised, each patient weighed alike. Sources: the definitions are those of El Emam (from memory),
 * read again in the source code of an open library of anonymisation.
 *
 * @param highest the largest risk of a patient, in [0, 1]
 * @param average the mean risk, in [0, 1]
 * @param atRisk number of patients whose risk is above the threshold
 * @param patients number of patients
 */
public record RecognitionRisk(double highest, double average, long atRisk, long patients) {

    /**
     * The patients of a class among the rows, and in the population that they come from.
     *
     * @param inData 1 or more
     * @param inPopulation as many or more
     */
    public record ClassSize(long inData, long inPopulation) {

        /**
         * Sizes of a class.
         *
         * @throws IllegalArgumentException if one is out of range
         */
        public ClassSize {
            if (inData < 1 || inPopulation < inData) {
                throw new IllegalArgumentException(
                        inData + " of " + inPopulation + ", must be 1 or more of as many or more");
            }
        }
    }

    /**
     * The smallest class that a threshold allows: 12 for 0.09, since 1/11 is above it. Never rounded down.
     *
     * @param threshold largest risk allowed, in (0, 1]
     * @throws IllegalArgumentException if it is out of range or not a number
     */
    public static int smallestClass(double threshold) {
        if (!(threshold > 0 && threshold <= 1)) {
            throw new IllegalArgumentException("threshold = " + threshold + ", must be in (0, 1]");
        }
        return (int) Math.ceil(1 / threshold);
    }

    /**
     * Of somebody known to be among the rows (prosecutor). A patient in several classes has the risk of the smallest.
     *
     * @param threshold largest risk allowed, in (0, 1]
     */
    public static RecognitionRisk prosecutor(EquivalenceClasses classes, double threshold) {
        int least = smallestClass(threshold);
        Map<String, Integer> smallest = new HashMap<>();
        for (EquivalenceClass one : classes.all()) {
            one.patients().forEach(patient -> smallest.merge(patient, one.size(), Math::min));
        }
        return new RecognitionRisk(
                smallest.values().stream().mapToDouble(size -> 1.0 / size).max().orElse(0),
                smallest.values().stream()
                        .mapToDouble(size -> 1.0 / size)
                        .average()
                        .orElse(0),
                smallest.values().stream().filter(size -> size < least).count(),
                smallest.size());
    }

    /**
     * Of somebody known to be in the population, not whether among the rows (journalist). Each patient must be in one class.
     *
     * @param threshold largest risk allowed, in (0, 1]
     */
    public static RecognitionRisk journalist(List<ClassSize> classes, double threshold) {
        int least = smallestClass(threshold);
        double population = classes.stream().mapToLong(ClassSize::inPopulation).sum();
        return new RecognitionRisk(
                classes.stream()
                        .mapToDouble(one -> 1.0 / one.inPopulation())
                        .max()
                        .orElse(0),
                classes.isEmpty() ? 0 : Math.max(classes.size() / population, marketer(classes)),
                classes.stream()
                        .filter(one -> one.inPopulation() < least)
                        .mapToLong(ClassSize::inData)
                        .sum(),
                patients(classes));
    }

    /** The share of patients that somebody would recognise who tries with all of them (marketer), in [0, 1]. */
    public static double marketer(List<ClassSize> classes) {
        return classes.isEmpty()
                ? 0
                : classes.stream()
                                .mapToDouble(one -> (double) one.inData() / one.inPopulation())
                                .sum()
                        / patients(classes);
    }

    private static long patients(List<ClassSize> classes) {
        return classes.stream().mapToLong(ClassSize::inData).sum();
    }
}
