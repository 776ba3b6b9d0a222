import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { midiNote } from '../../src/theory/pitch.js';
import { eventSize, type NoteEvent, packEvents, voices } from '../../src/time/event.js';

const note = (at: number, voice: NoteEvent['voice'], pitch = 60, length = 100): NoteEvent => ({
  at,
  length,
  voice,
  channel: 0,
  note: midiNote(pitch),
  velocity: 90,
});

const rows = (packed: Int32Array): number[][] =>
  Array.from({ length: packed.length / eventSize }, (_, index) => [
    ...packed.slice(index * eventSize, (index + 1) * eventSize),
  ]);

describe('packEvents', () => {
  it('packs tick, length, the three bytes and the voice', () => {
    const one: NoteEvent = {
      at: -480,
      length: 30,
      voice: 'low',
      channel: 9,
      note: midiNote(62),
      velocity: 84,
    };
    expect([...packEvents([one])]).toStrictEqual([-480, 30, 0x54_3e_99, 2]);
    expect(packEvents([])).toHaveLength(0);
  });

  it('sends the click first within an instant, then the bass, the low note, the chop, then by pitch', () => {
    const packed = packEvents([
      note(960, 'chop', 71),
      note(960, 'chop', 67),
      note(960, 'low', 62),
      note(960, 'bass', 40),
      note(960, 'click', 77),
      note(0, 'chop'),
      note(-480, 'chop'),
    ]);
    expect(
      rows(packed).map(([at, , message, voice]) => [at, ((message as number) >> 8) & 127, voice]),
    ).toStrictEqual([
      [-480, 60, 3],
      [0, 60, 3],
      [960, 77, 0],
      [960, 40, 1],
      [960, 62, 2],
      [960, 67, 3],
      [960, 71, 3],
    ]);
  });

  it.each([0, -40, 1])('gives a note of %i ticks at least one', (length) => {
    expect(packEvents([note(0, 'chop', 60, length)])[1]).toBe(1);
  });

  it('keeps every event, sorted by tick and voice, with a positive length', () => {
    const any = fc.record({
      at: fc.integer({ min: -2000, max: 300_000 }),
      length: fc.integer({ min: -10, max: 4000 }),
      voice: fc.constantFrom(...voices),
      channel: fc.integer({ min: 0, max: 15 }),
      note: fc.integer({ min: 0, max: 127 }).map(midiNote),
      velocity: fc.integer({ min: 1, max: 127 }),
    });
    fc.assert(
      fc.property(fc.array(any, { maxLength: 60 }), (events) => {
        const packed = rows(packEvents(events));
        const places = packed.map(([at, , , voice]) => (at as number) * 3 + (voice as number));
        expect(places).toStrictEqual([...places].sort((one, other) => one - other));
        expect(packed.filter(([, length]) => (length as number) < 1)).toStrictEqual([]);
        const bytes = (of: NoteEvent): number => (0x90 | of.channel) + of.note * 256 + of.velocity * 65_536;
        expect(packed.map(([, , message]) => message).sort()).toStrictEqual(events.map(bytes).sort());
      }),
    );
  });
});
