import { recall } from '../config/remembered.js';
import type { Settings } from '../config/settings.js';
import type { OutSpec } from '../player/messages.js';
import { outText, parseOut } from '../player/out-spec.js';
import { outFlag, type PlayFlags } from './play-options.js';

/** What is said after the reason if nothing can be heard. */
export const howToMend = 'barkline doctor tries everything, and says what to do';

/** Outputs to open: of `outs` the first that can be opened, all of `also` with it. */
export interface Outputs {
  readonly outs: readonly OutSpec[];
  readonly also: readonly OutSpec[];
  /** What is set for an output, whichever is chosen later. */
  readonly setting: (out: OutSpec) => OutSpec;
}

/**
 * The outputs of a stand that joins a band: those that were asked for, and none where nothing was. Each of several laptops that click in
 * one room is heard a few milliseconds from the others, and from farther away later: one of them, the leader's, is a click.
 */
export function followerOutputs(
  flags: Pick<PlayFlags, 'out' | 'sendClock' | 'voices' | 'click'>,
  settings: Settings,
): Outputs {
  const usual = outputsFor(flags, settings);
  const asked = [flags.out, flags.voices, flags.click, flags.sendClock].some((flag) => flag !== undefined);
  return asked ? usual : { ...usual, outs: [{ kind: 'none' }] };
}

/** The outputs that were asked for, all at once; otherwise the one used last, the built-in sound, or none. */
export function outputsFor(flags: Pick<PlayFlags, 'out' | 'sendClock'>, settings: Settings): Outputs {
  const { offsets } = recall();
  const setting = (out: OutSpec): OutSpec => {
    const known = settings.outputs.get(outText(out));
    const clock = (flags.sendClock ?? false) || (known?.clock ?? false);
    const offset = known?.offset ?? offsets[outText(out)];
    return { ...out, ...(offset === undefined ? {} : { offset }), ...(clock ? { clock } : {}) };
  };
  const asked = typeof flags.out === 'string' ? [flags.out] : (flags.out ?? []);
  const [first, ...also] = asked.map((text) => setting(outFlag(text)));
  if (first) return { outs: [first], also, setting };
  const last = recall().out;
  const read = last === null ? null : parseOut(last);
  const before: OutSpec[] =
    read?.ok && read.value.kind !== 'none' && read.value.kind !== 'sound' ? [read.value] : [];
  const usual: OutSpec[] = [...before, { kind: 'sound' }, { kind: 'none' }];
  return { outs: usual.map(setting), also: [], setting };
}
