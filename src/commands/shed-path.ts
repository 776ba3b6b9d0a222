import { jsonText } from '../base/json.js';
import { didYouMean } from '../base/nearest.js';
import { safeText } from '../base/safe-text.js';
import type { Who } from '../config/diary-file.js';
import { pathFile } from '../config/path-file.js';
import type { DiaryEntry } from '../shed/diary.js';
import { type PathMarks, type PathState, pathState, type StepState } from '../shed/path-state.js';
import { doneWhen } from '../shed/path-step.js';
import { leadsTo, pathSteps } from '../shed/path-steps.js';
import { exit, print, printDocument, Stop } from './exit.js';
import type { ExportFlags } from './export-song.js';
import { diaryOf, pathMarks, whoFlag } from './shed-common.js';

/** The options of `shed path`. */
export interface PathFlags
  extends Pick<ExportFlags, 'output' | 'paper' | 'large' | 'blank' | 'marks' | 'force'> {
  readonly who?: string;
  readonly start?: string;
  readonly done?: string;
  readonly again?: string;
  readonly json?: boolean;
  readonly to?: 'pdf' | 'text';
}

/** Shows the path and where somebody stands on it; keeps where it is begun, or what is done; writes it as sheets. */
export async function shedPath(flags: PathFlags): Promise<number> {
  const who = whoFlag(flags.who);
  if (flags.to !== undefined) {
    const { exportPathSheets } = await import('./shed-path-sheets.js');
    return exportPathSheets(flags.to, flags);
  }
  const marks = marked(who, flags);
  const state = pathState(diaryOf(who).entries, marks);
  const { steps, ahead } = state;
  if (flags.json) {
    printDocument(jsonText({ start: marks.start, steps: steps.map(stepJson) }));
    return exit.done;
  }
  for (const one of steps) print(...stepLines(one, one === ahead[0]));
  print('', ...whereLines(state));
  return exit.done;
}

/** The marks with what the flags say, kept where they say something. */
function marked(who: Who, flags: PathFlags): PathMarks {
  const before = pathMarks(who);
  const changes = [flags.start, flags.done, flags.again].filter((one) => one !== undefined);
  if (changes.length === 0) return before;
  const at = Date.now();
  // From the beginning: what was said of single steps goes, too.
  const steps = flags.start === 'first' ? {} : { ...before.steps };
  if (flags.done !== undefined) steps[stepFlag('done', flags.done)] = { as: 'done', at };
  if (flags.again !== undefined) steps[stepFlag('again', flags.again)] = { as: 'again', at };
  const start = flags.start === undefined ? before.start : startFlag(flags.start);
  const marks: PathMarks = { start, steps };
  const failed = pathFile(who).write({ start, steps });
  if (failed)
    throw new Stop(exit.machine, failed, 'free some space, or choose another folder with XDG_STATE_HOME');
  return marks;
}

function startFlag(text: string): string | null {
  if (text === 'end') return text;
  return text === 'first' ? null : stepFlag('start', text, ['first', 'end']);
}

function stepFlag(flag: string, text: string, others: readonly string[] = []): string {
  const known = [...pathSteps.map(({ id }) => id), ...others];
  if (known.includes(text)) return text;
  throw new Stop(
    exit.call,
    `--${flag} “${safeText(text)}” is not a step of the path${didYouMean(text, known)}`,
    `there are ${known.join(', ')}`,
  );
}

function stepLines({ step, done, begun, open, best, keysDone }: StepState, isNext: boolean): string[] {
  const sign = done ? 'done' : isNext ? 'next' : begun ? 'begun' : open ? 'open' : '';
  const leads = leadsTo(step.id).map(({ id }) => id);
  const so = [
    ...(best > 0 && !done ? [`last clean at ${Math.round(best)} of ${step.bpm}`] : []),
    ...(keysDone.length > 0 && !done ? [`done in ${keysDone.join(', ')}`] : []),
  ];
  return [
    `${sign.padEnd(6)} ${step.id.padEnd(19)} ${step.title}`,
    `${''.padEnd(26)} ${doneWhen(step)}${so.length > 0 ? `; ${so.join('; ')}` : ''}`,
    ...(leads.length > 0 ? [`${''.padEnd(26)} leads to ${leads.join(', ')}`] : []),
  ];
}

/** Where somebody stands on the path, in a sentence or two. */
export function whereLines({ steps, ahead: [next] }: PathState): readonly string[] {
  const done = steps.filter((one) => one.done).length;
  if (!next) return [`The path is complete: all ${steps.length} steps are done.`];
  const { step, best, key } = next;
  const so = best > 0 ? `; last clean at ${Math.round(best)}` : '';
  return [
    `${done} of ${steps.length} steps of the path are done. Next: ${step.title}, in ${key} at ${step.bpm}${so}.`,
    ...(done === 0 ? ['If you know some of it already, begin later: barkline shed path --start STEP'] : []),
  ];
}

function stepJson({ step, done, open, begun, keysDone, key, best }: StepState): object {
  const { id, title, needs, keys, bpm, clean, days } = step;
  const leads = leadsTo(id).map((one) => one.id);
  return { id, title, needs, leads, keys, bpm, clean, days, done, open, begun, keysDone, key, best };
}

/** For the diary: where on the path somebody stands, where the path was begun; nothing else. */
export function pathLines(who: Who, entries: readonly DiaryEntry[]): readonly string[] {
  const marks = pathMarks(who);
  const state = pathState(entries, marks);
  const begun = marks.start !== null || state.steps.some((one) => one.begun || one.done);
  return begun ? whereLines(state) : [];
}
