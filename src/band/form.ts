import type { Performance, Vamp } from '../playback/performance.js';
import { takeNow } from '../playback/send.js';
import {
  barEnd,
  type Conductor,
  feed,
  placeAt,
  retake,
  retakeAt,
  sentTo,
  type Take,
  type TakePlace,
} from '../time/conductor.js';
import { withCut } from '../time/lead-cut.js';
import type { Segment } from '../time/segment.js';
import type { FormPlace } from './now.js';
import { mostAhead, mostPlaces } from './now.js';

/*
 * The form as it is played: a list of places. From the tick of each the music is there and goes on as written, up to the next one. A
 * leader reads it off its conductor; a follower makes a conductor of it that plays the same bars at the same ticks with what its own
 * arrangement has there.
 */

/** Whether the chord is held at a tick. */
const vampAt = (vamp: Vamp | null, tick: number): boolean =>
  vamp !== null && tick >= vamp.from && (vamp.until === null || tick < vamp.until);

/** The form from a transport tick on, as far as it was sent: where the music is, and each place to which it is sent from elsewhere. */
export function formOf({ conductor, vamp }: Performance, tick: number): readonly FormPlace[] {
  const first = conductor?.sent[0];
  if (!conductor || !first) return [];
  const from = Math.max(Math.ceil(tick), first.startTick);
  const places: FormPlace[] = [];
  const add = (at: number): void => {
    const place = placeAt(conductor, at);
    if (place && places.length < mostPlaces && at - from <= mostAhead)
      places.push({ ...place, tick: at, vamp: vampAt(vamp, at) });
  };
  add(from);
  for (const { startTick } of conductor.sent)
    if (startTick > from && !goesOn(conductor, startTick, vamp)) add(startTick);
  return places;
}

/** Whether what begins at a tick is what would have come there anyway. */
function goesOn(conductor: Conductor, tick: number, vamp: Vamp | null): boolean {
  const before = placeAt(conductor, tick - 1);
  const here = placeAt(conductor, tick);
  if (!before || !here || vampAt(vamp, tick - 1) !== vampAt(vamp, tick)) return false;
  if (before.counting)
    return here.counting ? here.into === before.into + 1 : here.bar === before.bar && here.into === 0;
  if (here.pass === before.pass && here.bar === before.bar) return here.into === before.into + 1;
  if (here.counting || here.into !== 0 || barEnd(conductor, tick - 1) !== tick) return false;
  if (here.pass === before.pass) return here.bar === before.bar + 1;
  const { take } = conductor;
  const held = vampAt(vamp, tick) ? vamp : null;
  const from = held ? held.bar : (take.range?.from ?? 0);
  const to = held ? held.bar + 1 : (take.range?.to ?? Number.POSITIVE_INFINITY);
  // Of a whole pass the last bar is the last one of its score, which may be the final one.
  const last = Math.min(to, scoreBars(take, before.pass)) - 1;
  return here.pass === before.pass + 1 && here.bar === from && (held !== null || before.bar === last);
}

function scoreBars({ passes, score, finalScore }: Take, pass: number): number {
  return (passes !== null && pass >= passes ? (finalScore ?? score) : score).bars.length;
}

/** What a follower plays: its conductor, and what its player is sent, in order. */
export interface Mirrored {
  readonly conductor: Conductor;
  readonly sends: readonly {
    readonly tick: number;
    readonly kind: 'replace' | 'append';
    readonly segments: readonly Segment[];
  }[];
}

/** The take that is played from a place on: while a chord is held, its bar alone. */
function takeAt(performance: Performance, { vamp }: Pick<FormPlace, 'vamp'>): Take | null {
  const held = performance.vamp ? { ...performance.vamp, until: null } : null;
  return takeNow({ ...performance, vamp: vamp ? held : null });
}

/** Whether an arrangement has such a place at all. */
export function hasPlaces(performance: Performance, places: readonly FormPlace[]): boolean {
  return places.every((place) => {
    const take = takeAt(performance, place);
    if (!take) return false;
    const { score, finalScore, passes } = take;
    const { bars } = passes !== null && place.pass >= passes ? (finalScore ?? score) : score;
    const length = bars[place.bar]?.length;
    const counted = (bars[place.bar]?.written?.length ?? length ?? 0) * take.countIn;
    return length !== undefined && place.into < (place.counting ? Math.max(1, counted) : length);
  });
}

/**
 * The form from a tick on as this performance plays it; its setup, jump and held chord are the leader's. The first of the places must
 * not lie ahead of the tick where the music is to be there already. `null` without an arrangement that has them.
 */
export function mirrored(
  performance: Performance,
  places: readonly FormPlace[],
  tick: number,
): Mirrored | null {
  const [first] = places;
  if (!performance.arrangement || !first || tick - first.tick > mostAhead) return null;
  if (!hasPlaces(performance, places)) return null;
  const sends: { tick: number; kind: 'replace' | 'append'; segments: readonly Segment[] }[] = [];
  let conductor: Conductor | null = null;
  let begun = false;
  const begin = (): void => {
    begun = true;
    if (!conductor) return;
    const reached = sentTo(conductor, tick + 1).conductor;
    // After the end there is nothing to go on with.
    const going = placeAt(reached, tick)
      ? withCut(performance.conductor?.sent ?? [], retake(reached, reached.take, tick), tick)
      : { conductor: reached, segments: [] };
    conductor = going.conductor;
    sends.push({ tick, kind: 'replace', segments: going.segments });
  };
  for (const [index, place] of places.entries()) {
    if (place.tick > tick && !begun) begin();
    const own = takeAt(performance, place) as Take;
    const before: Conductor = conductor ?? {
      take: own,
      sent: [],
      nextId: performance.conductor?.nextId ?? 1,
      next: null,
    };
    const reached = sentTo(before, place.tick);
    if (begun && reached.segments.length > 0)
      sends.push({ tick: place.tick, kind: 'append', segments: reached.segments });
    const take = leavingFor(reached.conductor, own, place, places[index + 1]);
    const there = retakeAt(reached.conductor, take, place.tick, place);
    if (begun) sends.push({ tick: place.tick, kind: 'replace', segments: there.segments });
    conductor = there.conductor;
  }
  if (!begun) begin();
  const last = conductor as Conductor;
  const fed = feed({ ...last, take: takeAt(performance, places.at(-1) as FormPlace) as Take }, tick);
  if (fed.segments.length > 0) sends.push({ tick, kind: 'append', segments: fed.segments });
  return { conductor: fed.conductor, sends };
}

/** The take up to the next place: bass and tune of the bar that is left there do not lead to what would have come. */
function leavingFor(
  conductor: Conductor,
  take: Take,
  place: TakePlace & { readonly tick: number },
  next: FormPlace | undefined,
): Take {
  if (!next) return take;
  const trial = sentTo(retakeAt(conductor, take, place.tick, place).conductor, next.tick).conductor;
  const left = placeAt(trial, next.tick - 1);
  const leads =
    left && [take.score, take.finalScore].some((score) => score?.elsewhere?.[left.bar] || score?.lead);
  if (!left || !leads || left.counting) return take;
  const bar = next.into === 0 && !next.vamp ? next.bar : null;
  return { ...take, leaves: left.bar, leavesFor: { tick: next.tick, bar } };
}
