import type { Conductor } from './conductor.js';
import { eventSize, type PackedEvents, programAt, tiedAt, voiceAt } from './event.js';
import { heldAt, leadVoice } from './lead-cut.js';
import { leadEnd } from './segment.js';

/** A note as it was sent: its transport tick, its length in ticks, number of its voice, and MIDI note and velocity (1–127, as written). */
export interface SentNote {
  readonly tick: number;
  readonly length: number;
  readonly voice: number;
  readonly note: number;
  readonly velocity: number;
  /** The program it wants, 0–127; −1 for whatever its channel has. */
  readonly program: number;
  /** It is of a count-in. */
  readonly counts: boolean;
}

/**
 * The notes that begin from a transport tick up to another, half open, in the order of their ticks: as the player plays what was sent.
 * One of the tune that goes on into the next segment has the length that its own has of it.
 */
export function sentNotes({ sent }: Conductor, from: number, to: number): SentNote[] {
  const found: SentNote[] = [];
  sent.forEach((one, index) => {
    const { startTick, skip, length, repeats, events, phase } = one;
    const next = sent[index + 1]?.startTick ?? Number.POSITIVE_INFINITY;
    const end = Math.min(next, repeats ? Number.POSITIVE_INFINITY : startTick + length);
    const rounds = repeats ? Math.max(0, Math.floor((from - startTick) / length)) : 0;
    // From the round before: of the one after it chords that are pushed sound before it begins.
    for (let round = rounds; startTick + round * length < to + length; round += 1) {
      const start = startTick + round * length;
      if (start >= end) break;
      // What begins within a bar has no notes that were pushed before it.
      const first = round === 0 && skip > 0 ? start : Number.NEGATIVE_INFINITY;
      for (let at = firstFrom(events, from - start + skip); at < events.length; at += eventSize) {
        const tick = start + (events[at] as number) - skip;
        if (tick >= Math.min(to, end)) break;
        if (tick < first || (events[at] as number) >= skip + length) continue;
        const message = events[at + 2] as number;
        const voice = voiceAt(events, at);
        const note = (message >> 8) & 0x7f;
        // It goes on, and was found where it was struck.
        if (tiedAt(events, at) && heldAt(sent, tick) === note) continue;
        const long = events[at + 1] as number;
        found.push({
          tick,
          length: voice === leadVoice ? leadEnd(sent, tick, tick + long) - tick : long,
          voice,
          note,
          velocity: (message >> 16) & 0x7f,
          program: programAt(events, at),
          counts: phase === 'count-in',
        });
      }
      if (!repeats) break;
    }
  });
  return found.sort((one, other) => one.tick - other.tick || one.voice - other.voice);
}

/** The place of the first event at or after a tick of its segment. */
function firstFrom(events: PackedEvents, tick: number): number {
  let [low, high] = [0, events.length / eventSize];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((events[middle * eventSize] as number) < tick) low = middle + 1;
    else high = middle;
  }
  return low * eventSize;
}
