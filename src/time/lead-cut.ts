import { eventSize, type PackedEvents, tiedAt, voiceAt, voices } from './event.js';
import { leadEnd, type Segment } from './segment.js';
import type { Sent } from './sent.js';

/** The number of the voice that plays the tune. */
export const leadVoice = voices.indexOf('lead');

/** The part of a conductor's answer that is needed here. */
interface Answer {
  readonly conductor: { readonly sent: readonly Sent[] };
  readonly segments: readonly Segment[];
}

/**
 * What is sent in place of the rest of `before` from a tick on, with what becomes of the note of the tune that sounds there: it ends
 * with the tick, unless the same note is held in what is sent.
 */
export function withCut<One extends Answer>(before: readonly Sent[], answer: One, tick: number): One {
  const note = heldAt(before, tick);
  const after = answer.conductor.sent.filter(({ startTick }) => startTick >= tick);
  const [first] = after;
  if (!first || first.startTick !== tick) return answer;
  // What ends there by what is replaced, which was not in force yet, still does.
  const ended = before.find(({ startTick }) => startTick === tick)?.cuts ?? null;
  const left = note === null || ended === 0 ? ended : leftOf(after, note, tick);
  if (left === null) return answer;
  const sent = answer.conductor.sent.map((one) => (one === first ? { ...one, cuts: left } : one));
  const segments = answer.segments.map((one) => (one.id === first.id ? { ...one, cuts: left } : one));
  return { ...answer, conductor: { ...answer.conductor, sent }, segments };
}

/** The note of the tune that was struck before a tick and sounds beyond it, by what begins before it; `null` for none. */
export function heldAt(sent: readonly Sent[], tick: number): number | null {
  // What begins at the tick, and may end the note, does not count.
  const begun = sent.filter(({ startTick }) => startTick < tick);
  let held: number | null = null;
  sent.forEach((piece, index) => {
    const { startTick, skip, length, repeats, events, cuts } = piece;
    const next = sent[index + 1]?.startTick ?? Number.POSITIVE_INFINITY;
    const last = repeats ? Math.max(-1, Math.floor((tick - 1 - startTick) / length)) : 0;
    // A pick-up is struck before its segment begins, or its next round.
    for (let round = Math.max(0, last - 1); round <= (repeats ? last + 1 : 0); round += 1) {
      const start = startTick + round * length - skip;
      for (const [at, to, note] of leads(events)) {
        const from = start + at;
        // What was struck before its place in the segment sounds on, unless it was cut there.
        const sounds = round > 0 || at >= skip || skip === 0 || cuts !== 0;
        const isPlayed = from < next && at < skip + length && sounds;
        const struck = skip > 0 && at < skip ? Math.max(from, startTick) : from;
        if (isPlayed && from < tick && leadEnd(begun, struck, start + to) > tick) held = note;
      }
    }
  });
  return held;
}

/**
 * Ticks that a note which was struck before a tick lasts after it in what is sent there: none where that has another; `null` where
 * one that is tied takes it up.
 */
function leftOf(sent: readonly Sent[], note: number, tick: number): number | null {
  for (const { startTick, skip, events } of sent)
    for (const [at, to, own, tied] of leads(events)) {
      const from = startTick - skip + at;
      if (own !== note) continue;
      if (from === tick && tied) return null;
      if (from < tick && startTick - skip + to > tick) return startTick - skip + to - tick;
    }
  return 0;
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
