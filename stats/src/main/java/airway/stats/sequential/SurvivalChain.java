package airway.stats.sequential;

/** A chart that has not signalled yet, followed point by point. */
interface SurvivalChain {

    /** Changes of the hazard by less than this share, so many times in a row, mean that it has settled. */
    double SETTLED = 1e-11;

    /** Points for which a settled hazard has to last. */
    int LONG_ENOUGH = 20;

    /** Points without any chance of a signal after which there never will be one. */
    int NEVER = 500;

    /** Takes one point more, and gives the probability that the first signal comes with it. */
    double advance();

    /** Probability that there has been no signal yet. */
    double alive();

    /**
     * Average number of points up to and including the signal: the sum of the probabilities of having none yet. Once the
     * chance of a signal at the next point has settled, the rest is a geometric series.
     */
    static double averageRunLength(SurvivalChain chain) {
        double total = 0;
        double before = 1;
        double hazard = -1;
        int settled = 0;
        while (before > 1e-15) {
            total += before;
            double latest = chain.advance() / before;
            settled = Math.abs(latest - hazard) <= SETTLED * latest ? settled + 1 : 0;
            hazard = latest;
            before = chain.alive();
            if (settled >= (hazard == 0 ? NEVER : LONG_ENOUGH)) {
                return total + before / hazard;
            }
        }
        return total;
    }
}
