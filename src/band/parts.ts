import type { PlayedBar } from '../chart/chart.js';
import { autoCapo, type Capo, capoAt } from '../theory/capo.js';
import { chordName, toChord } from '../theory/chord.js';
import { type Key, transposeKey } from '../theory/key.js';

/** The parts of a band. */
export const partNames = ['mandolin', 'guitar', 'bass', 'banjo', 'fiddle', 'singer'] as const;

/** One of them. */
export type PartName = (typeof partNames)[number];

/** What a stand shows beside numbers and form. */
export interface PartSight {
  /** Shapes of the hand, where the instrument is one that is planned for. */
  readonly shapes: boolean;
  /** The letters that are played behind a capo. */
  readonly capo: boolean;
  /** Roots, and the run into the change that comes. */
  readonly bass: boolean;
  /** Words and cues, large. */
  readonly words: boolean;
}

/** What each part sees. All see who leads, and whose break comes. */
export const sights: Readonly<Record<PartName, PartSight>> = {
  mandolin: { shapes: true, capo: false, bass: false, words: false },
  guitar: { shapes: false, capo: true, bass: false, words: false },
  bass: { shapes: false, capo: false, bass: true, words: false },
  banjo: { shapes: false, capo: true, bass: false, words: false },
  fiddle: { shapes: false, capo: false, bass: false, words: false },
  singer: { shapes: false, capo: false, bass: false, words: true },
};

/** The capo of a guitar or banjo in a key: at the fret that its player has set, else the lowest that gives open shapes. */
export function capoFor(key: Key, fret: number | null): Capo {
  return fret === null ? autoCapo(key) : capoAt(key, fret);
}

/** The letters that are played behind a capo in a bar, one for each chord; empty where there is none. */
export function capoLetters(
  { cells, key }: Pick<PlayedBar, 'cells' | 'key'>,
  { fret }: Pick<Capo, 'fret'>,
): readonly string[] {
  const shapes = transposeKey(key, -fret);
  return cells.map(({ number }) => (number ? chordName(toChord(number, shapes)) : ''));
}

/** Bars before a break in which a stand says that it comes, and how many of them. */
const breakBars = 4;

/** Who leads at a bar, and who leads next where that is soon: in this many bars. `null` where a chart says nothing. */
export interface BreakSight {
  readonly now: string | null;
  readonly next: { readonly who: string; readonly bars: number; readonly mine: boolean } | null;
  /** Whether this part leads now. */
  readonly mine: boolean;
}

/** Names that mean a player in a chart's form, in small letters: part and name, and `me` for whoever leads and for nobody else. */
export function ownNames(part: PartName, name: string, leads: boolean): readonly string[] {
  const names = [part, name.trim().toLowerCase()].filter((one) => one !== 'me');
  return leads ? [...names, 'me'] : names;
}

/** Whether a name in a chart's form means this part, or the name of its player; `me` is the leader's own. */
export function meansPart(who: string | null, part: PartName, name: string, leads: boolean): boolean {
  return who !== null && ownNames(part, name, leads).includes(who.trim().toLowerCase());
}

/**
 * Who has the break at a bar of a pass, and whose comes within four bars. `goesRound`: after the last bar comes the first.
 */
export function breakAt(
  bars: readonly Pick<PlayedBar, 'who'>[],
  bar: number,
  goesRound: boolean,
  isMine: (who: string | null) => boolean,
): BreakSight {
  const now = bars[bar]?.who ?? null;
  const sight: BreakSight = { now, next: null, mine: isMine(now) };
  for (let ahead = 1; ahead <= breakBars; ahead += 1) {
    const index = bar + ahead;
    const there = index < bars.length ? bars[index] : goesRound ? bars[index - bars.length] : undefined;
    if (!there) break;
    const { who } = there;
    if (who !== null && who !== now) return { ...sight, next: { who, bars: ahead, mine: isMine(who) } };
  }
  return sight;
}
