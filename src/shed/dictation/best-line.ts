import type { TunePitch } from '../../chart/tune/tune.js';
import { pitchHeight } from '../../chart/tune/tune-pitch.js';
import type { OutlineNote } from './tune-rhythm.js';

/** A note of the outline with the pitches that it can have, and the degree of its chord's root. */
export interface LinePlace {
  readonly note: OutlineNote;
  readonly tones: readonly TunePitch[];
  readonly root: number;
}

/** Half steps: the widest leap (a fifth), what counts as one (a fourth and more), and how far it may then turn back (a third). */
const widest = 7;
const leap = 5;
const turn = 4;
/** What moves cost, and how much chance can change that (ours). */
const costs = {
  same: 1.2,
  step: 0,
  third: 0.4,
  leap: 1.8,
  thrice: 4,
  toAndFro: 0.8,
  fromArch: 0.25,
  held: 0.6,
  lot: 1.6,
};
/** An arch rises by this many half steps over four bars. */
const archRise = 4;

/**
 * The pitches of a tune: of all lines through the places the one that costs least. Steps are cheap, leaps are dear, leaps wider than a fifth do
 * not occur, and a leap turns back by a third at most. Each four bars rise and fall; what the chord before had not is preferred
 * when a chord comes; the last note is the root of its chord.
 */
export function bestLine(
  places: readonly LinePlace[],
  { low, high }: { readonly low: number; readonly high: number },
  random: () => number,
): readonly TunePitch[] {
  // A state is the last two pitches, by their places among the tones.
  let states = new Map<string, { cost: number; line: readonly TunePitch[] }>([['', { cost: 0, line: [] }]]);
  const last = places.length - 1;
  places.forEach((place, at) => {
    const before = places[at - 1];
    const middle = (low + high) / 2;
    const arch = middle - archRise / 2 + archRise * Math.sin((Math.PI * (place.note.bar % 4)) / 4);
    const own = place.tones
      .filter(({ degree }) => at < last || degree === place.root)
      .map((pitch) => {
        const isNew = before && before.note.number !== place.note.number;
        const wasThere = before?.tones.some((one) => pitchHeight(one) === pitchHeight(pitch));
        const cost =
          costs.lot * random() +
          costs.fromArch * Math.abs(pitchHeight(pitch) - arch) +
          (isNew && wasThere ? costs.held : 0);
        return { pitch, cost };
      });
    const next: typeof states = new Map();
    for (const { cost, line } of states.values())
      for (const { pitch, cost: more } of own) {
        const move = moveCost(line, pitch, before?.note.breath ?? false);
        if (move === null) continue;
        const id = `${line.at(-1) ? pitchHeight(line.at(-1) as TunePitch) : ''} ${pitchHeight(pitch)}`;
        const sum = cost + more + move;
        if (sum < (next.get(id)?.cost ?? Number.POSITIVE_INFINITY))
          next.set(id, { cost: sum, line: [...line, pitch] });
      }
    states = next;
  });
  const [first, ...others] = states.values();
  if (!first) throw new RangeError('no tune has these chords');
  return others.reduce((best, one) => (one.cost < best.cost ? one : best), first).line;
}

/** What it costs to go on to a pitch; `null` where that is not done. */
function moveCost(line: readonly TunePitch[], pitch: TunePitch, isBreath: boolean): number | null {
  const here = line.at(-1);
  if (!here) return 0;
  const by = pitchHeight(pitch) - pitchHeight(here);
  const wide = Math.abs(by);
  if (wide > widest) return null;
  const beforeThat = line.at(-2);
  const came = beforeThat ? pitchHeight(here) - pitchHeight(beforeThat) : 0;
  if (Math.abs(came) >= leap && (by === 0 || Math.sign(by) === Math.sign(came) || wide > turn)) return null;
  const cost = wide === 0 ? costs.same : wide <= 2 ? costs.step : wide <= turn ? costs.third : costs.leap;
  if (by === 0 && came === 0 && beforeThat) return cost + costs.thrice;
  return cost + (came !== 0 && by === -came && !isBreath ? costs.toAndFro : 0);
}
