/** How strictly a pass is judged: while learning a song, once it goes steadily, and as on a job. */
export type Level = 'learning' | 'steady' | 'job';
export const levels: readonly Level[] = ['learning', 'steady', 'job'];

/**
 * The displacement of one tone in a sequence that is just noticed, ms: 6 ms below an interval of 240 ms, 2.5 % of it above, for
 * musicians and others alike (Friberg and Sundberg, Time discrimination in a monotonic, isochronous sequence, Journal of the Acoustical Society
 * of America 98, 1995).
 */
export function justNoticed(intervalMs: number): number {
  return Math.max(6, 0.025 * intervalMs);
}

/** People who play along with a click come before it: musicians by 10 to 30 ms, others by 20 to 80 (Repp, Sensorimotor synchronization, Psychonomic Bulletin & Review 12, 2005), ms. */
export const usualLead = { musicians: 30, others: 80 } as const;

/** How far apart the players of an ensemble come in, standard deviations, ms: 27 to 49 (Rasch, Synchronization in performed ensemble music, Acustica 43, 1979). */
export const ensembleSpread = { least: 27, most: 49 } as const;

/** What a clean pass stays within. Times in ms. */
export interface CleanLimits {
  /** The mean of the chops before the beat, and behind it. */
  readonly ahead: number;
  readonly behind: number;
  /** The standard deviation of the chops. */
  readonly spread: number;
  /** A change is late when its stroke comes this far behind the player's own time. */
  readonly lateChange: number;
  /** A chop that should be stopped rings no longer than this. */
  readonly ring: number;
  /** Shares: of changes that may be late, of chords that may be wrong, of chops that may ring on, of strokes that may be left out. */
  readonly late: number;
  readonly wrong: number;
  readonly rang: number;
  readonly leftOut: number;
}

/**
 * What depends on the level. `spread` and `behind` count just noticeable displacements: a steady player's taps spread by 2 to 4 % of the interval
 * (Repp 2005), which is 0.8 to 1.6 of them. `ring` and the shares are ours: a choked chop is over in some 60 ms, and a detector leaves out up
 * to 3 % of strokes.
 */
const byLevel = {
  job: {
    ahead: usualLead.musicians,
    behind: 1.2,
    spread: 1.6,
    ring: 130,
    late: 0.04,
    wrong: 0,
    rang: 0.1,
    leftOut: 0.06,
  },
  steady: { ahead: 45, behind: 2, spread: 2.4, ring: 160, late: 0.1, wrong: 0.04, rang: 0.2, leftOut: 0.1 },
  learning: {
    ahead: usualLead.others,
    behind: 3,
    spread: 3.6,
    ring: 220,
    late: 0.25,
    wrong: 0.1,
    rang: 0.4,
    leftOut: 0.18,
  },
} as const satisfies Record<Level, Readonly<Record<string, number>>>;

/** A change that is late by this many just noticeable displacements is heard as late in any company: more than players of an ensemble are apart at moderate tempos (ours). */
const lateBy = 3.5;

/** The limits of a level where strokes come `intervalMs` apart. */
export function cleanLimits(level: Level, intervalMs: number): CleanLimits {
  const noticed = justNoticed(intervalMs);
  const { ahead, behind, spread, ring, ...shares } = byLevel[level];
  return {
    ...shares,
    ahead,
    behind: behind * noticed,
    spread: Math.min(ensembleSpread.most, spread * noticed),
    lateChange: lateBy * noticed,
    // Whatever the level, a chop is over when the next stroke falls.
    ring: Math.min(ring, 0.75 * intervalMs),
  };
}
