import type { Key } from '../../theory/key.js';

/** How often the chord may change: each two bars, each bar, or twice in a bar. */
export type ChangePace = 'two bars' | 'bar' | 'half';

/** A level of changes that are named by ear. */
export interface DictationLevel {
  /** As it is written after `--level`, and in the diary. */
  readonly name: string;
  readonly says: string;
  readonly mode: Key['mode'];
  /** The numbers that sound. The tonic comes first. */
  readonly numbers: readonly string[];
  /** What it brings that the levels before have not: each phrase has one of these. */
  readonly brings: readonly string[];
  readonly pace: ChangePace;
  /** Quarters a minute. */
  readonly bpm: number;
}

const three = ['1', '4', '5'] as const;

/**
 * The levels, from easy to hard: 1, 4 and 5 more and more often, then one chord more at a time. Tempos leave two seconds a bar, as
 * much as half a bar of a quick song twice over (ours); where bars are shared a little more.
 */
export const dictationLevels: readonly DictationLevel[] = [
  level('two-bars', '1, 4 and 5, each for two bars', three, [], 'two bars'),
  level('bars', '1, 4 and 5, at most one change in a bar', three, [], 'bar'),
  level('halves', '1, 4 and 5, some for half a bar', three, [], 'half', 108),
  level('six', '1, 4, 5 and 6-', [...three, '6-'], ['6-'], 'bar'),
  level('two', '1, 4, 5, 6- and 2-', [...three, '6-', '2-'], ['2-'], 'bar'),
  level('flat-seven', '1, 4, 5 and b7', [...three, 'b7'], ['b7'], 'bar'),
  level('two-seventh', '1, 4, 5, 6-, b7 and 2^7', [...three, '6-', 'b7', '2^7'], ['2^7'], 'bar'),
  level(
    'sevenths',
    '1, 4, 5, 6-, 2-, and the sevenths 2^7, 3^7 and 6^7',
    [...three, '6-', '2-', '2^7', '3^7', '6^7'],
    ['3^7', '6^7'],
    'bar',
  ),
  level('minor', 'a minor key: 1-, 4-, 5 and b7', ['1-', '4-', '5', 'b7'], ['4-', 'b7'], 'bar', 120, 'minor'),
  level(
    'minor-more',
    'a minor key: 1-, 4-, 5, 5-, b3, b6 and b7',
    ['1-', '4-', '5', '5-', 'b3', 'b6', 'b7'],
    ['b3', 'b6', '5-'],
    'bar',
    120,
    'minor',
  ),
  level(
    'all',
    'all chords of a major key, some for half a bar',
    [...three, '6-', '2-', 'b7', '2^7', '3^7', '6^7'],
    ['6-', '2-', 'b7', '2^7', '3^7', '6^7'],
    'half',
    108,
  ),
];

function level(
  name: string,
  says: string,
  numbers: readonly string[],
  brings: readonly string[],
  pace: ChangePace,
  bpm = 120,
  mode: Key['mode'] = 'major',
): DictationLevel {
  return { name, says, mode, numbers, brings, pace, bpm };
}

/** The place of a level among all, from 0; `null` where there is none of that name. */
export function levelAt(name: string): number | null {
  const at = dictationLevels.findIndex((one) => one.name === name);
  return at < 0 ? null : at;
}

/** The level at a place; the first or the last one beyond them. */
export function levelOf(at: number): DictationLevel {
  const place = Math.max(0, Math.min(dictationLevels.length - 1, at));
  return dictationLevels[place] as DictationLevel;
}
