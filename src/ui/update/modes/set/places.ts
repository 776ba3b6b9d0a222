import type { Verdict } from '../../../../listen/verdict.js';
import type { Performance } from '../../../../playback/performance.js';
import type { Effect } from '../../../state/messages.js';
import type { Model } from '../../../state/model.js';
import type { SetHeard, SetMode } from '../../../state/modes.js';
import { fileOf } from '../../../state/select.js';
import { recordAt } from '../../stand/marks.js';
import { type Step, step, withStand } from '../../step.js';

/** The most places of a song that are marked by what was heard. */
const mostOfSong = 3;
/** A change that was late only once is reported if it was this late, ms: a slip happens to everybody. */
const muchLate = 250;
/** Another chord was held all its time, as surely as this. */
const surely = 0.95;
/** A verdict that comes this soon after a song has begun is on the one before, ms. */
const soonMs = 2500;

/** Nothing was marked so far. */
export const nothingHeard: SetHeard = { bars: [], last: null, count: 0 };

/** A place that is worth looking at: bar and felt beat from 0, and what it cost. */
interface Place {
  readonly bar: number;
  readonly beat: number;
  readonly cost: number;
}

/** What surely went wrong in a pass, the worst first: changes that came late more than once or very late, chords that were others all their time. */
export function placesOf({ result, changes, wrong, strokes }: Verdict): Place[] {
  if (result === 'not heard') return [];
  const beatOf = (bar: number, number: string): number =>
    strokes.find(({ expected }) => expected.bar === bar && expected.chord.number === number)?.expected.beat ??
    0;
  const late = changes
    .filter((one) => one.late > 1 || (one.late === 1 && (one.lateMs ?? 0) >= muchLate))
    .flatMap(({ bars, to, late: times, lateMs }) => {
      const [bar] = bars;
      return bar === undefined ? [] : [{ bar, beat: beatOf(bar, to), cost: times * (lateMs ?? 0) }];
    });
  const others = wrong
    .filter(({ whole, confidence }) => whole && confidence >= surely)
    .map(({ bar, beat, strokes: count }) => ({ bar, beat, cost: 500 * count }));
  return [...late, ...others].sort((one, other) => other.cost - one.cost);
}

/** A pass of a set's song was heard: what surely went wrong is marked to be looked at later. Nothing of it is shown while songs are played. */
export function markHeard(model: Model, mode: SetMode, verdict: Verdict, at: number): Step {
  const { heard, run } = mode;
  const { performance } = model.session;
  const isNow = run.phase === 'song' && (heard.last === null || at - run.began >= soonMs);
  const song = isNow ? performance && { performance, file: fileOf(mode), bars: heard.bars } : heard.last;
  const quiet = withStand(mode, { heard: null });
  if (!song) return step({ ...model, mode: quiet });
  const { bars, effects } = marked(song, verdict, run.title);
  const count = heard.count + effects.length;
  const next: SetHeard = isNow ? { ...heard, bars, count } : { ...heard, last: { ...song, bars }, count };
  return step({ ...model, mode: { ...quiet, heard: next } }, ...effects);
}

function marked(
  song: { readonly performance: Performance; readonly file: string; readonly bars: readonly number[] },
  verdict: Verdict,
  set: string,
): { readonly bars: readonly number[]; readonly effects: readonly Effect[] } {
  const bars = [...song.bars];
  const effects = placesOf(verdict).flatMap(({ bar, beat }): Effect[] => {
    if (bars.length >= mostOfSong || bars.includes(bar)) return [];
    const record = recordAt(song.performance, { bar, beat, file: song.file, set });
    if (!record) return [];
    bars.push(bar);
    return [{ kind: 'mark-later', record }];
  });
  return { bars, effects };
}

/** A song is left: the ear's verdict on its last pass comes a little later. */
export function songLeft(model: Model, mode: SetMode): SetHeard {
  const { performance } = model.session;
  const { heard } = mode;
  const last = performance ? { performance, file: fileOf(mode), bars: heard.bars } : null;
  return { ...heard, bars: [], last };
}
