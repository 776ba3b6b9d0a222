import type { Action } from '../keys/actions.js';
import type { Model } from '../state/model.js';
import type { Mode } from '../state/modes.js';
import type { ModeEvent, Step } from './step.js';

/** What a mode reacts to. Each function gets the model and the mode, as they are now. */
export interface ModeRules<M extends Mode> {
  /** A key, or a pedal, with no overlay in front. */
  readonly act: (model: Model, mode: M, action: Action, at: number) => Step;
  /** One step back, out of the mode at last. */
  readonly back: (model: Model, mode: M, at: number) => Step;
  /** Something has happened to what is played. */
  readonly heard: (model: Model, mode: M, event: ModeEvent) => Step;
  /** Time has come to `at`: something may be over. */
  readonly due: (model: Model, mode: M, at: number) => Step;
  /** The program is left: what must be kept is kept. */
  readonly leaving: (model: Model, mode: M, at: number) => Step;
}
