import type { Instrument } from '../hand/instrument.js';
import { midiNote, noteName } from '../theory/pitch.js';
import { type NoteEvent, packEvents } from '../time/event.js';
import type { Segment } from '../time/segment.js';
import { programMessages, type Sound } from '../time/sound.js';
import { noticed, type Played, pause, type Session, unmoved, withPerformance } from './session.js';

/** From one course to the next, and how long each rings, ms. A tick of the segment is a millisecond. */
const everyMs = 2500;
const ringMs = 2300;
const loudness = 88;
/** Each course is struck twice before the next: once to listen, once to turn. */
const usualTimes = 2;

/** Sounds each course in turn, the lowest first, and nothing else; asked for again, it stops. */
export function tune(session: Session): Played {
  const { performance, link } = session;
  if (!performance) return unmoved(session);
  if (link.state === 'running')
    return performance.tuning
      ? pause(session)
      : noticed(session, 'pause first: then the courses sound for tuning');
  if (link.output === null) return unmoved(session);
  const { instrument, sound } = performance.setup;
  const tick = link.freeTick;
  const segment = tuningSegment(instrument, sound, tick);
  return {
    session: withPerformance(session, { tuning: true }),
    commands: [
      { kind: 'tell', message: { kind: 'send', messages: programMessages(sound) } },
      { kind: 'replace', tick, segments: [segment] },
      { kind: 'tell', message: { kind: 'play', tick } },
    ],
    events: [{ kind: 'notice', text: `tuning: ${courseNames(instrument)}` }],
  };
}

/** Sounds one course alone, once; nothing where something plays. */
export function soundCourse(session: Session, course: number): Played {
  const { performance, link } = session;
  if (!performance || link.state === 'running' || link.output === null) return unmoved(session);
  const { instrument, sound } = performance.setup;
  const one = { ...instrument, courses: instrument.courses.slice(course, course + 1) };
  const segment = tuningSegment(one, sound, link.freeTick, 1);
  return {
    session: withPerformance(session, { tuning: true }),
    commands: [
      { kind: 'tell', message: { kind: 'send', messages: programMessages(sound) } },
      { kind: 'replace', tick: link.freeTick, segments: [segment] },
      { kind: 'tell', message: { kind: 'play', tick: link.freeTick } },
    ],
    events: [],
  };
}

/** The courses one after the other, each `times` times, as a segment for the player. */
export function tuningSegment(
  { courses }: Pick<Instrument, 'courses'>,
  sound: Sound,
  startTick: number,
  times = usualTimes,
): Segment {
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

/** `G3 D4 A4 E5`: middle C is C4. */
function courseNames({ courses }: Instrument): string {
  return courses.map(({ open }) => `${noteName(open)}${Math.floor(open / 12) - 1}`).join(' ');
}
