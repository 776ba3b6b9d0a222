/** The most bars a pass may have. */
export const barLimit = 10_000;

/** The most bars, changes and cues that are walked through in a pass: a form may have sections without bars. */
export const stepLimit = 100 * barLimit;
/** The most characters of one line of words. */
export const mostWords = 1000;
