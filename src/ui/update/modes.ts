import type { Model } from '../state/model.js';
import type { Mode } from '../state/modes.js';
import { chartRules } from './modes/chart/chart.js';
import { clickRules } from './modes/click.js';
import { drillRules } from './modes/drill.js';
import { followRules } from './modes/follow.js';
import { libraryRules } from './modes/library.js';
import { setRules } from './modes/set/set.js';
import { sittingRules } from './modes/sitting.js';
import { transcribeRules } from './modes/transcribe.js';
import type { ModeRules } from './rules.js';

const rules: { readonly [K in Mode['kind']]: ModeRules<Extract<Mode, { kind: K }>> } = {
  library: libraryRules,
  chart: chartRules,
  drill: drillRules,
  transcribe: transcribeRules,
  sitting: sittingRules,
  set: setRules,
  follow: followRules,
  click: clickRules,
};

/** The rules of the mode that the model is in. */
export function rulesOf({ mode }: Pick<Model, 'mode'>): ModeRules<Mode> {
  return rules[mode.kind] as unknown as ModeRules<Mode>;
}
