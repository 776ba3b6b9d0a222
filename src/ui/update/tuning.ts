import type { EarMessage } from '../../ear/client.js';
import { courseNames } from '../../hand/course-names.js';
import type { Instrument } from '../../hand/instrument.js';
import { type Played, pause } from '../../playback/session.js';
import { soundCourse, tune } from '../../playback/tuning.js';
import { frequency, noteName } from '../../theory/pitch.js';
import type { Action } from '../keys/actions.js';
import type { Effect } from '../state/messages.js';
import type { Model } from '../state/model.js';
import type { TunedCourse, TuningOverlay } from '../state/overlays.js';
import { played, type Step, step } from './step.js';

/** The tone sounds this long, and is heard in the room for a little longer, ms. */
const toneMs = 3200;
/** What rings of it when it is stopped, ms. */
const stopMs = 700;

/** Tuning was asked for: where it listens, it hears the courses and is silent; elsewhere it sounds them. */
export function askedToTune(model: Model): Step {
  const { session, ear } = model;
  const { performance, link } = session;
  const hears = ear.on && ear.opened !== null;
  if (!performance || !hears || link.state === 'running') return played(model, tune(session));
  const courses = performance.setup.instrument.courses.map(() => null);
  const overlay: TuningOverlay = { kind: 'tuning', courses, at: 0, remark: '', deafUntil: 0 };
  return step({ ...model, overlay, notice: '' });
}

/** A key while it hears the tuning. */
export function tuningAction(model: Model, overlay: TuningOverlay, action: Action, at: number): Step {
  const count = overlay.courses.length;
  const chosen = (way: 1 | -1): Step =>
    step({ ...model, overlay: { ...overlay, at: (overlay.at + way + count) % count } });
  switch (action) {
    case 'tune':
      return tuningLeft(model);
    case 'course-back':
      return chosen(-1);
    case 'course-on':
      return chosen(1);
    case 'course-tone': {
      const isOn = model.session.link.state === 'running';
      const sounding: Played = isOn ? pause(model.session) : soundCourse(model.session, overlay.at);
      const deafUntil = at + (isOn ? stopMs : toneMs);
      return played({ ...model, overlay: { ...overlay, deafUntil, remark: '' } }, sounding);
    }
    default:
      return step(model);
  }
}

/** A course was struck and heard, or something that is not a course. */
export function courseHeard(model: Model, heard: Extract<EarMessage, { readonly kind: 'course' }>): Step {
  const { overlay, session } = model;
  const instrument = session.performance?.setup.instrument;
  if (overlay?.kind !== 'tuning' || !instrument) return step(model);
  // What the program sounds itself is not judged.
  if (session.link.state === 'running' || heard.ms < overlay.deafUntil) return step(model);
  const { course, cents, apartCents, note, others } = heard;
  if (course === null)
    return step({ ...model, overlay: { ...overlay, remark: `heard ${elsewhere(instrument, note)}` } });
  const tuned: TunedCourse | null = cents === null || apartCents === null ? null : { cents, apartCents };
  const courses = tuned
    ? overlay.courses.map((one, index) => (index === course ? tuned : one))
    : overlay.courses;
  const remark = tuned
    ? others
      ? 'other strings ring too: stop them, and strike it again'
      : ''
    : 'let it ring for a second';
  return step({ ...model, overlay: { ...overlay, courses, at: course, remark } });
}

/** A pitch that is not a course: against the nearest course, and as an octave of one. */
function elsewhere(instrument: Instrument, note: number): string {
  const names = courseNames(instrument);
  const rounded = Math.round(note);
  const steps = instrument.courses.map(({ open }) => rounded - open);
  const least = Math.min(...steps.map((one) => Math.abs(one)));
  const near = steps.findIndex((one) => Math.abs(one) === least);
  const octave = steps.findIndex((one) => Math.abs(one) === 12);
  const parts = [
    ...(least < 12
      ? [
          `${least} half ${least === 1 ? 'step' : 'steps'} ${(steps[near] as number) > 0 ? 'above' : 'below'} ${names[near]}`,
        ]
      : []),
    ...(octave >= 0
      ? [`an octave ${(steps[octave] as number) > 0 ? 'above' : 'below'} ${names[octave]}`]
      : []),
  ];
  return [`${noteName(((rounded % 12) + 12) % 12)}${Math.floor(rounded / 12) - 1}`, ...parts].join(', ');
}

/** The ear is told which courses to hear when tuning begins, and that none are to be heard when it is over, by whatever way. */
export function coursesHeard(before: Model, after: Model): Effect | null {
  const [was, is] = [before, after].map(({ overlay }) => overlay?.kind === 'tuning');
  if (was === is) return null;
  const courses = is ? (after.session.performance?.setup.instrument.courses ?? []) : null;
  return {
    kind: 'hear-courses',
    courses: courses?.map(({ open, strings }) => ({ hertz: frequency(open), strings })) ?? null,
  };
}

/** Whatever sounds ends with the tuning. */
export function tuningLeft(model: Model): Step {
  return played({ ...model, overlay: null }, pause(model.session));
}
