import type { MidiNote } from '../theory/pitch.js';

/** The voices that sound, by number. Within an instant they are sent in this order: the click goes first. */
export const voices = ['click', 'bass', 'low', 'chop'] as const;
export type Voice = (typeof voices)[number];

/**
 * A note before it is packed: `at` in ticks (may lie before the segment for a push), `length` in ticks, at
 * least 1. Its note-off is part of it, so that no note can be queued without its end.
 */
export interface NoteEvent {
  readonly at: number;
  readonly length: number;
  readonly voice: Voice;
  /** MIDI channel, 0–15. */
  readonly channel: number;
  readonly note: MidiNote;
  readonly velocity: number;
}

/**
 * Events packed for the player, four integers each: tick, length in ticks (0: not a note), the message's three
 * bytes as `status | data1 << 8 | data2 << 16`, and the voice's number. Sorted by tick, then voice.
 */
export type PackedEvents = Int32Array;

/** Integers an event takes in `PackedEvents`. */
export const eventSize = 4;

/** Packs notes for the player, sorted. */
export function packEvents(events: readonly NoteEvent[]): PackedEvents {
  const order = (event: NoteEvent): number => voices.indexOf(event.voice);
  const sorted = [...events].sort(
    (one, other) => one.at - other.at || order(one) - order(other) || one.note - other.note,
  );
  const packed = new Int32Array(sorted.length * eventSize);
  sorted.forEach((event, index) => {
    packed[index * eventSize] = event.at;
    packed[index * eventSize + 1] = Math.max(1, event.length);
    packed[index * eventSize + 2] = 0x90 | event.channel | (event.note << 8) | (event.velocity << 16);
    packed[index * eventSize + 3] = order(event);
  });
  return packed;
}
