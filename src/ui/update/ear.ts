import { safeText } from '../../base/safe-text.js';
import type { PassTold } from '../../listen/live/pass-ear.js';
import { say } from '../../listen/say.js';
import { canMark, deaf, type EarView, meterAt } from '../state/ear.js';
import type { MessageOf } from '../state/messages.js';
import type { Model } from '../state/model.js';
import type { StandMode } from '../state/modes.js';
import { heardShown, standMode } from '../state/select.js';
import { faulted, noticed, type Step, step, withStand } from './step.js';
import { courseHeard } from './tuning.js';

/** Marks that are kept of the strokes heard last. */
const mostMarks = 256;
/** A mark in a bar that is entered belongs to it when it is no older than this, ms: an early stroke is reported before its bar. */
const freshMs = 1000;

/** What is said once if the delay from output to microphone is unknown. */
const uncalibrated = 'not calibrated: run barkline listen --calibrate';

/** Starts or stops listening. */
export function toggleEar(model: Model): Step {
  const on = !model.ear.on;
  const { toldUncalibrated } = model.ear;
  const next: Model = {
    ...heardTakenAway(model),
    ear: { ...deaf, on, toldUncalibrated },
    notice: on ? 'opening the microphone' : 'no longer listening',
  };
  return step(next, { kind: 'listen', on });
}

/** The model with a line from the ear; empty for none: then an earlier line of its own is removed. */
function told(model: Model, says: string, at: number): Step {
  const next: Model = { ...model, ear: { ...model.ear, says, saidAt: at } };
  if (says !== '') return next.ear.trouble === says ? faulted(next, says) : noticed(next, says);
  return model.ear.says !== '' && model.notice === model.ear.says ? noticed(next, '') : step(next);
}

/** What the ear's process said. */
export function earSaid(model: Model, { message, calibrated, keeps, at }: MessageOf<'ear'>): Step {
  const { ear } = model;
  if (!ear.on) return step(model);
  const seen = (changes: Partial<EarView>): Model => ({ ...model, ear: { ...ear, ...changes } });
  const inTrouble = (trouble: string, changes: Partial<EarView>): Step =>
    told(seen({ ...changes, trouble }), trouble, at);
  switch (message.kind) {
    case 'opened': {
      const { name, rate } = message;
      const again = ear.trouble !== '';
      const kept = keeps === undefined ? 'nothing is kept' : `what is heard is kept in ${safeText(keeps)}`;
      const text = `${again ? 'listens again' : 'listens'} to ${safeText(name)}; ${kept}`;
      const opened = { opened: { name, rate }, trouble: '', condition: 'fine', company: false } as const;
      if (calibrated || ear.toldUncalibrated) return told(seen(opened), text, at);
      return told(seen({ ...opened, toldUncalibrated: true }), uncalibrated, at);
    }
    case 'level': {
      // Ten of these come each second: only a visible difference makes a new model.
      const meter = meterAt(ear, message.level, at);
      // A microphone of which nothing came is there again.
      if (ear.trouble !== '' && ear.condition === 'fine') return inTrouble('', meter);
      return step(meter.level === ear.level ? model : seen(meter));
    }
    case 'condition':
      return inTrouble(safeText(message.sentence ?? ''), { condition: message.condition });
    case 'failed':
    case 'gone':
    case 'stalled':
    case 'died': {
      const opened = message.kind === 'stalled' ? ear.opened : null;
      return inTrouble(safeText(message.sentence), { opened, level: 0, condition: 'fine' });
    }
    case 'course':
      return courseHeard(model, message);
    case 'trouble':
      return told(model, safeText(message.sentence), at);
    default:
      return step(model);
  }
}

/** What was heard of the music that is played: a mark for a stroke, a whole pass, that somebody else plays. */
export function passTold(model: Model, heard: PassTold, at: number): Step {
  const mode = standMode(model);
  if (!mode || !model.ear.on) return step(model);
  switch (heard.kind) {
    case 'company': {
      const next: Model = { ...model, ear: { ...model.ear, company: heard.on } };
      return told(next, heard.on ? company : '', at);
    }
    case 'mark': {
      const { kind: _, ...mark } = heard;
      if (!canMark(model.ear) || isPlayedAgain(model, mark)) return step(model);
      const strokes = [...mode.stand.strokes, { ...mark, at }].slice(-mostMarks);
      return step({ ...model, mode: withStand(mode, { strokes }) });
    }
    case 'named-chord':
      return { model, effects: [], events: [heard] };
    case 'held-stroke':
      return { model, effects: [], events: [{ ...heard, at }] };
    case 'pass-heard': {
      const { began, verdict, bpm } = heard;
      const says = say(verdict, { bpm });
      const next: Model = { ...model, mode: withStand(mode, { heard: { verdict, says, at } }) };
      return { model: next, effects: [], events: [{ kind: 'pass-heard', began, verdict, at }] };
    }
  }
}

const company =
  'somebody else seems to play: nothing is marked; move the microphone nearer to your instrument';

/** A bar is played again while a stroke from the time before is still being reported. */
function isPlayedAgain({ session }: Model, mark: { readonly pass: number; readonly bar: number }): boolean {
  const { cursor } = session.performance ?? {};
  return cursor !== undefined && mark.pass < cursor.pass && mark.bar <= cursor.bar;
}

/** A bar begins: the marks of the time before are not those of this one. */
export function barEntered(model: Model, mode: StandMode, at: number): StandMode {
  const { cursor } = model.session.performance ?? {};
  if (mode.stand.strokes.length === 0 || !cursor || cursor.counting || cursor.beat !== 0) return mode;
  const strokes = mode.stand.strokes.filter(
    (one) => one.bar !== cursor.bar || (one.pass === cursor.pass && at - one.at < freshMs),
  );
  return strokes.length === mode.stand.strokes.length ? mode : withStand(mode, { strokes });
}

/** Hides everything that was heard. */
export function heardTakenAway(model: Model): Model {
  const mode = standMode(model);
  if (!mode || (mode.stand.strokes.length === 0 && mode.stand.heard === null)) return model;
  return { ...model, mode: withStand(mode, { strokes: [], heard: null }) };
}

/** Goes one step back from what was heard, where that is read while the music rests; `null` where nothing of it is shown. */
export function backFromHeard(model: Model): Step | null {
  const mode = standMode(model);
  if (!mode || heardShown(model).place !== 'lines') return null;
  return step({ ...model, mode: withStand(mode, { heard: null }) });
}
