/** The most bars a pass may have. */
export const barLimit = 10_000;

/** The most bars, changes and cues that are walked through for them: a form may come to sections without a bar. */
export const stepLimit = 100 * barLimit;
/** The most characters of one line of words. */
export const mostWords = 1000;
