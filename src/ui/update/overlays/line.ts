import type { Action } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import type { LineOverlay } from '../../state/overlays.js';
import { type Step, step } from '../step.js';
import { purposeRules } from './purposes.js';

/** The most characters a typed line has. */
export const mostCharacters = 200;

/** Characters were typed into the line. */
export function typedIntoLine(model: Model, line: LineOverlay, text: string): Step {
  const characters = [...line.text];
  const added = [...text];
  if (characters.length + added.length > mostCharacters) return step(model);
  characters.splice(line.caret, 0, ...added);
  return edited(model, line, characters.join(''), line.caret + added.length);
}

/** A key within the line: it moves, takes a character away, or says that the line is done. */
export function lineAction(model: Model, line: LineOverlay, action: Action, at: number): Step {
  const length = [...line.text].length;
  const moved = (caret: number): Step => step({ ...model, overlay: { ...line, caret } });
  switch (action) {
    case 'line-done':
      return done(model, line, at);
    case 'line-erase': {
      const characters = [...line.text];
      if (line.caret === 0) return step(model);
      characters.splice(line.caret - 1, 1);
      return edited(model, line, characters.join(''), line.caret - 1);
    }
    case 'line-left':
      return moved(Math.max(0, line.caret - 1));
    case 'line-right':
      return moved(Math.min(length, line.caret + 1));
    case 'line-start':
      return moved(0);
    case 'line-end':
      return moved(length);
    default:
      return step(model);
  }
}

/** The line has changed: what is wrong with it is shown at once. */
function edited(model: Model, line: LineOverlay, text: string, caret: number): Step {
  const fault = purposeRules(line.purpose).check(model, line.purpose, text);
  return step({ ...model, notice: '', overlay: { ...line, text, caret, fault } });
}

/** An empty line asks for nothing; one with a fault stays until it has none. */
function done(model: Model, line: LineOverlay, at: number): Step {
  const text = line.text.trim();
  const { purpose } = line;
  if (line.fault !== '') return step(model);
  if (text === '') return step({ ...model, overlay: line.behind });
  return purposeRules(purpose).submit({ ...model, overlay: null }, purpose, text, at);
}
