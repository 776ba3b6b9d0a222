import type { Instrument } from '../../hand/instrument.js';
import { midiNote } from '../../theory/pitch.js';
import { type NoteEvent, packEvents } from '../../time/event.js';
import type { Segment } from '../../time/segment.js';
import { heardLevels, programMessages, type Sound } from '../../time/sound.js';
import type { Model, Stand, Updated } from '../model.js';

/** From one course to the next, and how long each rings, ms. A tick of the segment is a millisecond. */
const everyMs = 2500;
const ringMs = 2300;
const loudness = 88;
/** Each course is struck twice before the next: once to listen, once to turn. */
const times = 2;

/** Sounds each course in turn, the lowest first; pressed again, no more. */
export function tune(model: Model, stand: Stand): Updated {
  if (model.player.state === 'running')
    return stand.tuning
      ? { model, effects: [{ kind: 'tell', message: { kind: 'pause' } }] }
      : { model: { ...model, notice: 'pause first: then the courses sound for tuning' }, effects: [] };
  if (model.player.output === null) return { model, effects: [] };
  const tick = model.player.freeTick;
  const segment = tuningSegment(stand.instrument, stand.sound, tick);
  return {
    model: {
      ...model,
      notice: `tuning: ${courseNames(stand.instrument)}`,
      stand: { ...stand, tuning: true },
    },
    effects: [
      {
        kind: 'levels',
        levels: heardLevels({ ...stand.mix, alone: 'low', levels: { ...stand.mix.levels, low: 100 } }),
      },
      { kind: 'tell', message: { kind: 'send', messages: programMessages(stand.sound) } },
      { kind: 'replace', tick, segments: [segment] },
      { kind: 'tell', message: { kind: 'play', tick } },
    ],
  };
}

/** The courses one after the other, as what the player can play. */
export function tuningSegment({ courses }: Instrument, sound: Sound, startTick: number): Segment {
  const notes = courses.flatMap((course, index) =>
    Array.from(
      { length: times },
      (_, time): NoteEvent => ({
        at: (index * times + time) * everyMs,
        length: ringMs,
        voice: 'low',
        channel: sound.channels.low,
        note: midiNote(course.open),
        velocity: loudness,
      }),
    ),
  );
  return {
    id: 0,
    startTick,
    skip: 0,
    length: courses.length * times * everyMs,
    tempoMap: Float64Array.from([0, 1]),
    events: packEvents(notes),
    song: null,
    jump: false,
    onEnd: 'stop',
  };
}

const names = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];

/** `G3 D4 A4 E5`: middle C is C4. */
function courseNames({ courses }: Instrument): string {
  return courses.map(({ open }) => `${names[open % 12]}${Math.floor(open / 12) - 1}`).join(' ');
}
