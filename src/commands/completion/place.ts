import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { argumentOffer, commandPath, type Offer, optionOffer } from './offers.js';

/** A possible completion, with a description for shells that show one. */
export interface Fitting {
  readonly text: string;
  readonly says: string;
}

/** What is being typed at the end of a line. */
export interface Place {
  /** The program's own words that may come there. */
  readonly known: readonly Fitting[];
  /** What else may come there, which has to be looked up. */
  readonly offer: Offer;
  /** The part of the word that stays as it is: `--key=`. */
  readonly before: string;
  /** The arguments in front of it, without options. */
  readonly operands: readonly string[];
}

const nothing = { known: [], offer: null, before: '', operands: [] } as const;

/** The place at the end of a line: in which command, after which option, for which argument. `words` begins with the program's name. */
export function placeIn(program: CommandUnknownOpts, words: readonly string[]): Place {
  const now = words.at(-1) ?? '';
  let command = program;
  let waiting: Option | null = null;
  let onlyOperands = false;
  const operands: string[] = [];
  for (const word of words.slice(1, -1)) {
    if (waiting) waiting = null;
    else if (onlyOperands || !word.startsWith('-') || word === '-') {
      const inner = operands.length === 0 ? command.commands.find((one) => one.name() === word) : undefined;
      if (inner) command = inner;
      else operands.push(word);
    } else if (word === '--') onlyOperands = true;
    else if (!word.includes('=')) waiting = valuedOption(command, word);
  }
  const path = commandPath(command);
  if (waiting) return { ...valuesOf(waiting), operands };
  if (!onlyOperands && now.startsWith('-')) {
    const flag = /^--[^=]+(?==)/.exec(now)?.[0];
    if (flag === undefined) return { ...nothing, known: optionsOf(command) };
    const option = valuedOption(command, flag);
    return option ? { ...valuesOf(option), before: `${flag}=`, operands } : nothing;
  }
  const argument = command.registeredArguments[operands.length] ?? lastOfMany(command);
  const inner = operands.length === 0 ? command.commands : [];
  return {
    known: [
      ...inner.map((one) => ({ text: one.name(), says: one.description() })),
      ...(argument?.argChoices ?? []).map((text) => ({ text, says: '' })),
    ],
    offer: argument ? argumentOffer(path, argument.name()) : null,
    before: '',
    operands,
  };
}

type Option = CommandUnknownOpts['options'][number];

function valuedOption(command: CommandUnknownOpts, flag: string): Option | null {
  const option = command.options.find(({ long, short }) => long === flag || short === flag);
  return option?.required || option?.optional ? option : null;
}

function valuesOf(option: Option): Omit<Place, 'operands'> {
  const known = (option.argChoices ?? []).map((text) => ({ text, says: '' }));
  return { known, offer: known.length > 0 ? null : optionOffer(option), before: '' };
}

function optionsOf(command: CommandUnknownOpts): readonly Fitting[] {
  const own = command.options.flatMap(({ long, hidden, description }) =>
    long && !hidden ? [{ text: long, says: description }] : [],
  );
  return [...own, { text: '--help', says: 'its options' }];
}

function lastOfMany(command: CommandUnknownOpts) {
  const last = command.registeredArguments.at(-1);
  return last?.variadic ? last : undefined;
}
