/**
 * A chord that a stroke may be: the notes that the hand would play (MIDI, bass side first), its pitch classes, root first, and
 * what it is in the chart there: the expected one, the one before it (a late change), the one after it (an early change), any other.
 */
export interface ChordCandidate {
  readonly id: string;
  readonly notes: readonly number[];
  readonly pitchClasses: readonly number[];
  readonly role: 'expected' | 'before' | 'after' | 'other';
}

/** How a stroke is struck: the lowest course alone, all of them, or two at the treble side. */
export type StrokeKind = 'low' | 'chop' | 'up';

/**
 * How the share of a pitch class tells whether it sounds: the logarithm of the odds is a line in the share's decimal
 * logarithm, with an end on each side. Chops and low notes: fitted to strokes of synthesised strings and of five plucked
 * instruments of a sound font (two guitars, an electric one, koto, harpsichord), which neither tests nor bench use. There the lines rise by
 * 20 to 30 a decade and end at 7; ours are flatter, since other rooms and instruments differ. Upstrokes: set between the two.
 */
const odds = {
  /** A chop of three or four notes: a note has some 18 percent, a twelfth at least; what does not sound has 2. */
  chop: { even: -1.14, slope: 18, most: 6 },
  /** Two notes. */
  up: { even: -0.95, slope: 18, most: 6 },
  /** One note. */
  low: { even: -0.7, slope: 18, most: 6 },
} as const;

/**
 * How likely a pitch class sounds in a stroke of a chord (ours). Every voicing has what makes the chord (all but its perfect fifth,
 * `tonesOf`), unless the planned one leaves it out; of the fifth, what is planned is likely, but another voicing may be played;
 * other notes sound only by a slip.
 */
const sounds = { essential: 0.98, leftOut: 0.5, plannedFifth: 0.85, fifth: 0.5, slip: 0.01 } as const;

/** How likely another tone of the chord than the two planned sounds in an upstroke (ours). */
const upUnplanned = 0.3;

/** How likely a low note is the voicing's lowest, the root, or another tone of the chord, all of its other tones together; what is left falls to slips (ours). */
const lowNote = { planned: 0.7, root: 0.14, ofChord: 0.15 } as const;

/** The logarithm of how likelier the shares are when a pitch class sounds than when it does not, for each of the twelve. */
export function soundingOdds(shares: Float64Array, kind: StrokeKind): Float64Array {
  const { even, slope, most } = odds[kind];
  return shares.map((share) => Math.max(-most, Math.min(most, slope * (Math.log10(share + 1e-6) - even))));
}

/**
 * The logarithm of how likely the odds of the pitch classes are when several notes of a chord are struck, but for what all
 * chords have in common.
 */
export function chordLikelihood(
  sounding: Float64Array,
  { notes, pitchClasses }: Pick<ChordCandidate, 'notes' | 'pitchClasses'>,
  kind: 'chop' | 'up',
): number {
  const struck = kind === 'up' ? notes.slice(-2) : notes;
  const planned = new Set(struck.map((note) => note % 12));
  const chanceOf = (pitchClass: number): number => {
    if (!pitchClasses.includes(pitchClass)) return sounds.slip;
    const isPlanned = planned.has(pitchClass);
    // Of an upstroke two notes sound, of three or four pitch classes.
    if (kind === 'up') return isPlanned ? sounds.plannedFifth : upUnplanned;
    if (pitchClass === ((pitchClasses[0] as number) + 7) % 12)
      return isPlanned ? sounds.plannedFifth : sounds.fifth;
    return isPlanned || planned.size === 0 ? sounds.essential : sounds.leftOut;
  };
  return sounding.reduce((sum, one, pitchClass) => {
    const chance = chanceOf(pitchClass);
    return sum + Math.log(chance * Math.exp(one) + 1 - chance);
  }, 0);
}

/** How likely each pitch class is the low note of a chord, together 1. */
export function lowNoteChances({
  notes,
  pitchClasses,
}: Pick<ChordCandidate, 'notes' | 'pitchClasses'>): Float64Array {
  const chances = new Float64Array(12).fill((1 - lowNote.planned - lowNote.root - lowNote.ofChord) / 12);
  const add = (pitchClass: number, chance: number): void => {
    chances[pitchClass] = (chances[pitchClass] as number) + chance;
  };
  const [root = 0] = pitchClasses;
  const [lowest] = notes;
  add(lowest === undefined ? root : lowest % 12, lowNote.planned);
  add(root, lowNote.root);
  for (const pitchClass of pitchClasses) add(pitchClass, lowNote.ofChord / pitchClasses.length);
  return chances;
}
