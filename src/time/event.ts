import type { MidiNote } from '../theory/pitch.js';

/** The voices that sound, by number. Within an instant they are sent in this order: the click goes first. */
export const voices = ['click', 'bass', 'low', 'chop', 'lead'] as const;
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
  /** The program it wants on its channel, 0–127; whatever is there when absent. */
  readonly program?: number;
  /** It goes on, and is not struck, where the same note of its voice still sounds when it comes. */
  readonly tied?: boolean;
}

/**
 * Events packed for the player, four integers each: tick, length in ticks (0: not a note), the message's three
 * bytes as `status | data1 << 8 | data2 << 16`, and what plays it: `voiceAt`, `programAt` and `tiedAt` read it. Sorted by tick,
 * then voice.
 */
export type PackedEvents = Int32Array;

/** What plays an event, in one integer: the voice's number, whether it is tied, and one more than its program. */
const [voiceBits, tiedBit, programShift] = [0x7f, 0x80, 8];

/** The number of the voice of the event that begins at an index of the packed ones. */
export function voiceAt(events: PackedEvents, index: number): number {
  return (events[index + 3] as number) & voiceBits;
}

/** The program that the event at an index wants, 0–127; −1 for whatever is there. */
export function programAt(events: PackedEvents, index: number): number {
  return ((events[index + 3] as number) >> programShift) - 1;
}

/** Whether the event at an index goes on where the same note of its voice still sounds. */
export function tiedAt(events: PackedEvents, index: number): boolean {
  return ((events[index + 3] as number) & tiedBit) !== 0;
}

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
    packed[index * eventSize + 3] =
      order(event) | (event.tied ? tiedBit : 0) | (((event.program ?? -1) + 1) << programShift);
  });
  return packed;
}
