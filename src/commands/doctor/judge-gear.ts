import { fewNames } from '../../base/safe-text.js';
import type { Hearing } from '../../listen/condition.js';
import { notFound, type Trial, type Verdict, whatAndTodo } from './verdict.js';

/** MIDI as it was found: through which package, and the names of what is there. */
export interface FoundMidi {
  readonly library: string;
  readonly outputs: readonly string[];
  readonly inputs: readonly string[];
}

/** A microphone that was opened for a moment: the loudest of what it heard, and what is wrong with that in a sentence, or nothing. */
export interface FoundMicrophone extends Pick<Hearing, 'condition' | 'level'> {
  readonly name: string;
  readonly by: string;
  readonly trouble: string | null;
}

/** The built-in sound. `click`: one was played. */
export function judgeSound(trial: Trial<{ readonly click: boolean }>): Verdict {
  const base = { name: 'sound', needed: 'one' } as const;
  if (trial.kind !== 'found')
    return notFound(
      base,
      trial,
      'the sound card',
      'connect a sound card, or play through MIDI: barkline play CHART --out midi:1',
    );
  const { click } = trial.found;
  return {
    ...base,
    state: 'works',
    says: click
      ? 'the built-in sound opens, and a click was played'
      : 'the built-in sound opens; nothing was played',
    todo: click
      ? 'if you did not hear it, check the volume, and where the system sends its sound'
      : 'barkline doctor --sound plays a click',
    found: { click },
  };
}

/** What MIDI can be sent to. What the system only hands on to other programs is not heard by itself. */
export function judgeMidiOut(trial: Trial<FoundMidi>): Verdict {
  const base = { name: 'midi-out', needed: 'one' } as const;
  if (trial.kind !== 'found') return notFound(base, trial, 'MIDI', noMidi);
  const { library, outputs } = trial.found;
  const found = { library, outputs };
  const connect = 'connect a synthesizer, or start one, and try again';
  const heard = outputs.filter((name) => !/^midi through/i.test(name));
  if (outputs.length === 0)
    return {
      ...base,
      state: 'fails',
      says: `no destination is there${through(library)}`,
      todo: connect,
      found,
    };
  if (heard.length === 0)
    return {
      ...base,
      state: 'fails',
      says: `only ${fewNames(outputs)} is there, which makes no sound by itself`,
      todo: connect,
      found,
    };
  return {
    ...base,
    state: 'works',
    says: `${listed(outputs, 'destination')}${through(library)}`,
    todo: null,
    found,
  };
}

/** What MIDI can come from: pedals, keyboards, clocks. */
export function judgeMidiIn(trial: Trial<FoundMidi>): Verdict {
  const base = { name: 'midi-in', needed: 'no' } as const;
  if (trial.kind !== 'found') return notFound(base, trial, 'MIDI', noMidi);
  const { library, inputs } = trial.found;
  const found = { library, inputs };
  if (inputs.length === 0)
    return {
      ...base,
      state: 'fails',
      says: `no source is there${through(library)}`,
      todo: 'to use a MIDI pedal or follow a clock, connect it and try again',
      found,
    };
  return {
    ...base,
    state: 'works',
    says: `${listed(inputs, 'source')}${through(library)}`,
    todo: null,
    found,
  };
}

/** The microphone. One in a loud room works, with a word of advice. */
export function judgeMicrophone(trial: Trial<FoundMicrophone>): Verdict {
  const base = { name: 'microphone', needed: 'no' } as const;
  if (trial.kind !== 'found')
    return notFound(
      base,
      trial,
      'the microphone',
      'connect another one, and name it with --microphone; barkline ports lists them',
    );
  const { name, by, level, condition, trouble } = trial.found;
  const found = { name, by, level: Math.round(level), condition };
  const heard = `${name} hears ${Math.round(level)} dB`.replace('-', '−');
  if (condition === 'silent' && trouble !== null)
    return {
      ...base,
      state: 'fails',
      says: `${name} opens but is silent`,
      todo: whatAndTodo(trouble).todo,
      found,
    };
  return {
    ...base,
    state: 'works',
    says: `${heard} (0 dB is the loudest it can)${trouble === null ? '' : `; ${whatAndTodo(trouble).says}`}`,
    todo: trouble === null ? null : whatAndTodo(trouble).todo,
    found,
  };
}

const noMidi = 'play through the built-in sound: barkline play CHART --out sound';

function through(library: string): string {
  return ` (through the package ${library})`;
}

function listed(names: readonly string[], noun: string): string {
  return `${names.length} ${noun}${names.length === 1 ? '' : 's'}: ${fewNames(names)}`;
}
