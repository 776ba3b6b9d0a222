import { midiNote } from '../../src/theory/pitch.js';
import { packEvents } from '../../src/time/event.js';
import type { Segment } from '../../src/time/segment.js';

/** Notes as `[tick, length, note]`, on channel 2. */
type Notes = readonly (readonly [at: number, length: number, note: number])[];

/** A segment of 1000 ticks of 1 ms each that goes on with the next. */
export function segment(changes: Partial<Segment> = {}, notes: Notes = []): Segment {
  const events = packEvents(
    notes.map(([at, length, note]) => ({
      at,
      length,
      note: midiNote(note),
      voice: 'chop',
      channel: 1,
      velocity: 90,
    })),
  );
  return {
    id: 1,
    startTick: 0,
    skip: 0,
    length: 1000,
    tempoMap: Float64Array.of(0, 1),
    events,
    song: 0,
    jump: false,
    onEnd: 'next',
    ...changes,
  };
}
