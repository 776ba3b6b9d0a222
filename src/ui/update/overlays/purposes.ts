import type { Model } from '../../state/model.js';
import type { LinePurpose } from '../../state/overlays.js';
import { chartKept, songAsked } from '../band/typed.js';
import { barFault, saveAs, writeBar } from '../modes/chart/pencil.js';
import { lookAt } from '../modes/follow.js';
import { requestFault, requestKeyed } from '../modes/set/requests.js';
import { titleTyped } from '../modes/transcribe.js';
import { goToFault, goToTyped, placeTyped } from '../stand/go-to.js';
import { shareFault, shareTyped } from '../stand/tempo.js';
import type { Step } from '../step.js';

/** What a line's text is checked against while it is typed, and what is done with it in the end. */
interface PurposeRules<P extends LinePurpose> {
  /** What is wrong with the text so far; empty when nothing is. */
  readonly check: (model: Model, purpose: P, text: string) => string;
  /** Does what the text says, after the line was closed. */
  readonly submit: (model: Model, purpose: P, text: string, at: number) => Step;
}

const rules: { readonly [K in LinePurpose['kind']]: PurposeRules<Extract<LinePurpose, { kind: K }>> } = {
  bar: {
    check: (model, { source }, text) => barFault(model, source, text),
    submit: (model, { source }, text) => writeBar(model, source, text),
  },
  'go-to': {
    check: (model, _, text) => goToFault(model, text),
    submit: (model, _, text, at) => {
      const bar = model.mode.kind === 'follow' ? placeTyped(model, text) : null;
      return model.mode.kind === 'follow' && bar !== null
        ? lookAt(model, model.mode, bar)
        : goToTyped(model, text, at);
    },
  },
  share: {
    check: (model, _, text) => shareFault(model, text),
    submit: (model, _, text) => shareTyped(model, text),
  },
  'ask-song': {
    check: () => '',
    submit: (model, _, text) => songAsked(model, text),
  },
  'keep-chart': {
    check: () => '',
    submit: (model, _, text) => chartKept(model, text),
  },
  'save-as': {
    check: () => '',
    submit: (model, _, text) => saveAs(model, text),
  },
  title: {
    check: () => '',
    submit: (model, _, text) => titleTyped(model, text),
  },
  'request-key': {
    check: (_, { song }, text) => requestFault(song, text),
    submit: (model, { song }, text, at) => requestKeyed(model, song, text, at),
  },
};

/** The rules of a line's purpose. */
export function purposeRules<P extends LinePurpose>({ kind }: P): PurposeRules<P> {
  return rules[kind] as unknown as PurposeRules<P>;
}
