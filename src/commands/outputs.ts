import { recall } from '../config/remembered.js';
import type { OutSpec } from '../player/messages.js';
import { parseOut } from '../player/out-spec.js';
import { outFlag } from './play-options.js';

/** The outputs to try, in order: the one asked for alone; otherwise the one used last, the built-in sound, none. */
export function outputsToTry(asked: string | undefined): readonly OutSpec[] {
  if (asked !== undefined) return [outFlag(asked)];
  const last = recall().out;
  const read = last === null ? null : parseOut(last);
  const before: OutSpec[] =
    read?.ok && read.value.kind !== 'none' && read.value.kind !== 'sound' ? [read.value] : [];
  return [...before, { kind: 'sound' }, { kind: 'none' }];
}
