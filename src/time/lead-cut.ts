import { eventSize, type PackedEvents, tiedAt, voiceAt, voices } from './event.js';
import type { Segment } from './segment.js';
import type { Sent } from './sent.js';

/** The number of the voice that plays the tune. */
export const leadVoice = voices.indexOf('lead');

/** What a conductor answers, as far as it is looked at here. */
interface Answer {
  readonly conductor: { readonly sent: readonly Sent[] };
  readonly segments: readonly Segment[];
}

/**
 * What is sent in place of the rest of `before` from a tick on, marked where it does not carry on the note of the tune that sounds
 * there: that note ends with the tick.
 */
export function withCut<One extends Answer>(before: readonly Sent[], answer: One, tick: number): One {
  const note = heldAt(before, tick);
  const first = note === null ? null : answer.conductor.sent.find(({ startTick }) => startTick >= tick);
  if (!first || first.startTick !== tick || carries(first, note as number)) return answer;
  const sent = answer.conductor.sent.map((one) => (one === first ? { ...one, cuts: true } : one));
  const segments = answer.segments.map((one) => (one.id === first.id ? { ...one, cuts: true } : one));
  return { ...answer, conductor: { ...answer.conductor, sent }, segments };
}

/** Ticks that a note of the tune lasts from a tick on: as long as it is, or until what was sent from elsewhere ends it. */
export function cutLength(sent: readonly Sent[], tick: number, length: number): number {
  const cut = sent.find(({ cuts, startTick }) => cuts && startTick > tick)?.startTick;
  return Math.min(length, (cut ?? Number.POSITIVE_INFINITY) - tick);
}

/** The note of the tune that was struck before a tick and sounds beyond it; `null` for none. */
export function heldAt(sent: readonly Sent[], tick: number): number | null {
  let held: number | null = null;
  sent.forEach((piece, index) => {
    const { startTick, skip, length, repeats, events } = piece;
    if (startTick >= tick) return;
    const next = sent[index + 1]?.startTick ?? Number.POSITIVE_INFINITY;
    const last = repeats ? Math.floor((tick - 1 - startTick) / length) : 0;
    for (let round = Math.max(0, last - 1); round <= last; round += 1) {
      const start = startTick + round * length - skip;
      for (const [at, to, note] of leads(events)) {
        const from = start + at;
        const isPlayed = from < next && at < skip + length && (round > 0 || at >= skip || skip === 0);
        if (isPlayed && from < tick && from + cutLength(sent, from, to - at) > tick) held = note;
      }
    }
  });
  return held;
}

/** Whether a segment has, where it begins, a note that was struck before. */
function carries({ events, skip }: Sent, note: number): boolean {
  for (const [at, to, own, tied] of leads(events))
    if (own === note && ((at < skip && to > skip) || (at === skip && tied))) return true;
  return false;
}

/** The notes of the tune among packed events: begin, end, note, whether it is tied to what comes before. */
function* leads(events: PackedEvents): Generator<readonly [number, number, number, boolean]> {
  for (let index = 0; index < events.length; index += eventSize) {
    if (voiceAt(events, index) !== leadVoice) continue;
    const at = events[index] as number;
    const note = ((events[index + 2] as number) >> 8) & 0x7f;
    yield [at, at + (events[index + 1] as number), note, tiedAt(events, index)];
  }
}
