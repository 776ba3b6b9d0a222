/** A step of a chord that is added to its kind, altered in it, or taken from it (MusicXML 4.0, `degree`). */
export interface HarmonyDegree {
  readonly value: number;
  /** Half steps; what is added counts from the steps of a dominant chord. */
  readonly alter: number;
  readonly type: 'add' | 'alter' | 'subtract';
}

/** A quality of ours as MusicXML 4.0 says it: its kind, and the degrees that make the difference. */
export interface HarmonyKind {
  readonly quality: string;
  readonly kind: string;
  readonly degrees: readonly HarmonyDegree[];
}

const add = (value: number, alter = 0): HarmonyDegree => ({ value, alter, type: 'add' });
const alter = (value: number, by: number): HarmonyDegree => ({ value, alter: by, type: 'alter' });

const rows: readonly (readonly [quality: string, kind: string, ...degrees: HarmonyDegree[]])[] = [
  ['major', 'major'],
  ['minor', 'minor'],
  ['dim', 'diminished'],
  ['aug', 'augmented'],
  ['7', 'dominant'],
  ['m7', 'minor-seventh'],
  ['maj7', 'major-seventh'],
  ['mmaj7', 'major-minor'],
  ['6', 'major-sixth'],
  ['m6', 'minor-sixth'],
  ['69', 'major-sixth', add(9)],
  ['9', 'dominant-ninth'],
  ['m9', 'minor-ninth'],
  ['maj9', 'major-ninth'],
  ['add9', 'major', add(9)],
  ['11', 'dominant-11th'],
  ['13', 'dominant-13th'],
  ['sus4', 'suspended-fourth'],
  ['sus2', 'suspended-second'],
  ['7sus4', 'suspended-fourth', add(7)],
  ['m7b5', 'half-diminished'],
  ['dim7', 'diminished-seventh'],
  ['aug7', 'augmented-seventh'],
  ['7b5', 'dominant', alter(5, -1)],
  ['7b9', 'dominant', add(9, -1)],
  ['7#9', 'dominant', add(9, 1)],
  ['5', 'power'],
];

/** Every quality, each with its kind (MusicXML 4.0, `kind-value`). */
export const harmonyKinds: readonly HarmonyKind[] = rows.map(([quality, kind, ...degrees]) => ({
  quality,
  kind,
  degrees,
}));

/** The quality of a kind with its degrees, in whatever order; `null` where there is none. */
export function qualityOfKind(kind: string, degrees: readonly HarmonyDegree[]): string | null {
  const named = (list: readonly HarmonyDegree[]): string =>
    list
      .map(({ value, alter: by, type }) => `${type} ${value} ${by}`)
      .sort()
      .join();
  return (
    harmonyKinds.find((one) => one.kind === kind && named(one.degrees) === named(degrees))?.quality ?? null
  );
}
