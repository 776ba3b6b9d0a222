import { Argument, type CommandUnknownOpts, Option } from '@commander-js/extra-typings';
import { withArticle } from '../base/article.js';
import { didYouMean } from '../base/nearest.js';
import { safeText } from '../base/safe-text.js';
import { melodyWords } from '../time/melody.js';
import { exit, Stop } from './exit.js';
import { wholeFlag } from './whole-flag.js';

/*
 * The parts of command declarations. The help and the completion load all of them, so this file and the declarations import
 * nothing that takes time; the code that does the work is imported when the command is called.
 */

/** Makes a command, which tells its exit status when it is done. */
export type Declared = (done: (status: number) => void) => CommandUnknownOpts;

/**
 * An option that is one of a closed set, which help and completion list; upper and lower case are alike.
 *
 * @param flags as commander has them: `--click <kind>`
 * @param noun what the others are none of: `click`
 */
export function choice<Flags extends string, const Known extends string>(
  flags: Flags,
  description: string,
  noun: string,
  known: readonly Known[],
) {
  const name = flags.split(' ')[0] ?? flags;
  return new Option(flags, description)
    .choices(known)
    .argParser((text: string): Known => oneOf(`${name} `, text, noun, known));
}

/** `--melody` of what plays. */
export function melodyOption() {
  return choice(
    '--melody <where>',
    'where the tune plays: when others lead, through the built-in sound only (sound) or all outputs (others); in your own breaks, too (all); or nowhere (none)',
    'place of the tune',
    melodyWords,
  );
}

/** An argument that is one of a closed set. */
export function choiceArgument<Name extends string, const Known extends string>(
  name: Name,
  description: string,
  noun: string,
  known: readonly Known[],
) {
  return new Argument(name, description)
    .choices(known)
    .argParser((text: string): Known => oneOf('', text, noun, known));
}

/** An argument for which words are offered, where only the command can say which of them fit. */
export function offeredArgument<Name extends string>(
  name: Name,
  description: string,
  offered: readonly string[],
) {
  return new Argument(name, description).choices(offered).argParser((text: string): string => text);
}

function oneOf<Known extends string>(
  before: string,
  text: string,
  noun: string,
  known: readonly Known[],
): Known {
  const found = known.find((one) => one === text.toLowerCase());
  if (found !== undefined) return found;
  throw new Stop(
    exit.call,
    `${before}“${safeText(text)}” is not ${withArticle(noun)}${didYouMean(text, known)}`,
    `it is ${orList(known)}`,
  );
}

/** `pdf, text or midi`. */
function orList(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} or ${words[words.length - 1]}`;
}

/** An option that is a whole number within limits, both included. */
export function whole<Flags extends string>(
  flags: Flags,
  description: string,
  [least, most]: readonly [number, number],
) {
  const name = (flags.split(' ')[0] ?? flags).replace(/^-+/, '');
  return new Option(flags, description).argParser((text: string): number =>
    wholeFlag(name, text, least, most),
  );
}

/** Gathers an option that may be written several times. */
export function several(value: string, before: readonly string[] = []): readonly string[] {
  return [...before, value];
}

/** The examples at the end of a command's help. */
export function examples(...calls: readonly string[]): string {
  return `\nExamples:\n${calls.map((call) => `  ${call}`).join('\n')}`;
}

/** The largest number that a random order can be begun with. */
export const largestSeed = 4_294_967_295;

/** What is said of the flags with which the stand listens. */
export const listenWords = {
  listen: 'listen to your playing, with the microphone from the settings or the default one',
  noListen: 'do not listen, even if the settings say so',
  microphone: 'listen with this microphone: its name, part of it, or its number in barkline ports',
  keep: 'listen, and record to this WAV file; without this option nothing is recorded',
} as const;

/** Where sound goes, in words. */
export const outputWords = 'midi:NAME-OR-NUMBER, virtual[:NAME], raw:PATH, sound or none';
