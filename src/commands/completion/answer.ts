import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { safeText } from '../../base/safe-text.js';
import { printFileText, writeThrough } from '../print.js';
import { readBashLine } from './bash-line.js';
import { type Files, type Found, lookFor } from './look-for.js';
import { type Fitting, placeIn } from './place.js';
import type { Shell } from './scripts.js';

/** Descriptions longer than this are cut: shells show a line each. */
const mostSays = 60;

/** Text without special characters of bash: it is not quoted, because quoting would quote a colon too. */
const bare = /^[\w:=,#.+-]*$/;

/** The last word of a line and what completes it, before it is written in a shell's own form. */
export interface Fits {
  readonly files: Files;
  readonly isList: boolean;
  readonly fitting: readonly Fitting[];
}

/**
 * Prints what fits at the end of a line, as the shell's script reads it. Failures are not reported: pressing Tab should print nothing
 * else.
 *
 * @param words of zsh and fish the words, of which the last is being typed; of bash where words break (COMP_WORDBREAKS), and the line
 */
export async function answerShell(
  shell: Shell,
  words: readonly string[],
  program: CommandUnknownOpts,
): Promise<void> {
  writeThrough(null, { write: () => {} });
  const line = shell === 'bash' ? readBashLine(words[1] ?? '', words[0] ?? '') : { words, kept: '' };
  const now = line.words.at(-1) ?? '';
  const fits = await fitsAt(program, line.words);
  // The text has tabs, and `printFileText` keeps them.
  printFileText(`${answerText(shell, fits, now, line.kept)}\n`);
}

/** What fits at the end of a line, whole words. */
export async function fitsAt(program: CommandUnknownOpts, words: readonly string[]): Promise<Fits> {
  const now = words.at(-1) ?? '';
  const { known, offer, before, operands } = placeIn(program, words);
  const found: Found = await lookFor(offer, operands);
  const commands = offer === 'command' && operands.length === 0 ? program.commands : [];
  // In a list, everything before the last comma stays.
  const start = found.isList ? before + now.slice(before.length).replace(/[^,]*$/, '') : before;
  const all = [
    ...known,
    ...commands.map((one) => ({ text: one.name(), says: one.description() })),
    ...found.fitting,
  ];
  const seen = new Set<string>();
  const fitting = all
    .filter(({ text }) => safeText(text) === text && !seen.has(text) && seen.add(text))
    .map(({ text, says }) => ({ text: start + text, says }));
  return { files: found.files, isList: found.isList, fitting };
}

/** What fits, as a shell's script reads it: a line with which files are offered, for bash one with the word so far, and a line each. */
export function answerText(
  shell: Shell,
  { files, isList, fitting }: Fits,
  now: string,
  kept: string,
): string {
  const open = isList || (fitting.length > 0 && fitting.every(({ text }) => /[:=]$/.test(text)));
  const head = `${files} ${open ? 'nospace' : 'space'}`;
  // fish filters by itself, and also matches in the middle of words.
  const chosen = shell === 'fish' ? fitting : fitting.filter(({ text }) => text.startsWith(now));
  switch (shell) {
    case 'bash':
      return [
        `${head} ${files === 'none' && chosen.every(({ text }) => bare.test(text)) ? 'bare' : 'quoted'}`,
        now.includes('\n') ? '' : now.slice(kept.length),
        ...chosen.map(({ text }) => text.slice(kept.length)),
      ].join('\n');
    case 'zsh':
      return [
        head,
        ...chosen.map(({ text, says }) => `${colonsKept(text)}${says === '' ? '' : `:${short(says)}`}`),
      ].join('\n');
    case 'fish':
      return [head, ...chosen.map(({ text, says }) => (says === '' ? text : `${text}\t${short(says)}`))].join(
        '\n',
      );
  }
}

/** In zsh a colon ends what is offered. */
function colonsKept(text: string): string {
  return text.replace(/[\\:]/g, '\\$&');
}

function short(says: string): string {
  const line = safeText(says.replace(/\s+/g, ' '));
  return line.length > mostSays ? `${line.slice(0, mostSays - 1)}…` : line;
}
