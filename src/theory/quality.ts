/**
 * One kind of chord. `mark` is what comes after a degree in a chart, `suffix` what comes after a
 * letter, `steps` the half steps above the root.
 */
export interface Quality {
  readonly id: string;
  readonly mark: string;
  readonly suffix: string;
  readonly steps: readonly number[];
  /** Other ways players write the suffix; read, never written. */
  readonly aliases: readonly string[];
}

const rows: readonly (readonly [mark: string, suffix: string, steps: string, aliases?: string])[] = [
  ['', '', '0 4 7', 'maj M major'],
  ['-', 'm', '0 3 7', 'min - mi minor'],
  ['o', 'dim', '0 3 6', 'o ° º'],
  ['+', 'aug', '0 4 8', '+'],
  ['^7', '7', '0 4 7 10', 'dom7'],
  ['-^7', 'm7', '0 3 7 10', 'min7 -7 mi7'],
  ['^maj7', 'maj7', '0 4 7 11', 'M7 Maj7 Δ Δ7 major7'],
  ['-^maj7', 'mmaj7', '0 3 7 11', 'm(maj7) mM7 minmaj7'],
  ['^6', '6', '0 4 7 9', 'maj6'],
  ['-^6', 'm6', '0 3 7 9', 'min6 -6'],
  ['^69', '69', '0 4 7 9 14', '6/9 6add9'],
  ['^9', '9', '0 4 7 10 14'],
  ['-^9', 'm9', '0 3 7 10 14', 'min9 -9'],
  ['^maj9', 'maj9', '0 4 7 11 14', 'M9 Maj9'],
  ['^add9', 'add9', '0 4 7 14', 'add2 2'],
  ['^11', '11', '0 4 7 10 14 17'],
  ['^13', '13', '0 4 7 10 14 21'],
  ['^sus4', 'sus4', '0 5 7', 'sus 4'],
  ['^sus2', 'sus2', '0 2 7'],
  ['^7sus4', '7sus4', '0 5 7 10', '7sus sus7'],
  ['-^7b5', 'm7b5', '0 3 6 10', 'ø ø7 min7b5 -7b5'],
  ['o^7', 'dim7', '0 3 6 9', 'o7 °7 º7'],
  ['+^7', 'aug7', '0 4 8 10', '+7 7#5 7+'],
  ['^7b5', '7b5', '0 4 6 10'],
  ['^7b9', '7b9', '0 4 7 10 13'],
  ['^7#9', '7#9', '0 4 7 10 15'],
  ['^5', '5', '0 7'],
];

/** Every quality the chart language knows. The id is the chord suffix, `major` and `minor` apart. */
export const qualities: readonly Quality[] = rows.map(([mark, suffix, steps, aliases]) => ({
  id: suffix === '' ? 'major' : suffix === 'm' ? 'minor' : suffix,
  mark,
  suffix,
  steps: steps.split(' ').map(Number),
  aliases: aliases?.split(' ') ?? [],
}));

const byId = new Map(qualities.map((quality) => [quality.id, quality]));
const byMark = new Map(qualities.map((quality) => [quality.mark, quality]));
const bySuffix = new Map(
  qualities.flatMap((quality) =>
    [quality.suffix, ...quality.aliases].map((suffix) => [suffix, quality] as const),
  ),
);
byMark.set('^sus', byId.get('sus4') as Quality);

/** The quality with this id; throws when there is none (ids never come from outside). */
export function quality(id: string): Quality {
  const found = byId.get(id);
  if (!found) throw new RangeError(`no quality ${id}`);
  return found;
}

/** The quality whose mark comes after a degree (`-`, `^7`), or `null`. */
export function qualityByMark(mark: string): Quality | null {
  return byMark.get(mark) ?? null;
}

/** The quality whose suffix, in any of its spellings, comes after a letter (`m7`, `°`), or `null`. */
export function qualityBySuffix(suffix: string): Quality | null {
  return bySuffix.get(suffix) ?? null;
}
