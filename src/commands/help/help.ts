import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { didYouMean } from '../../base/nearest.js';
import { quoted } from '../../base/safe-text.js';
import { exit, printDocument, Stop } from '../exit.js';
import { commandSection } from './commands-page.js';
import { page } from './pager.js';
import { pageOf, topicList } from './pages.js';
import { type Emphasis, toText } from './to-text.js';
import { topics } from './topics.js';

/** The widest that lines of prose are comfortably read at, columns. */
const widest = 100;

/**
 * Shows a page of the reference, a command, or the list of the pages; answers the exit status.
 *
 * @param words the name of a page, or of a command: `shed drill`
 */
export async function help(
  words: readonly string[],
  flags: { readonly markdown?: true | undefined },
  program: CommandUnknownOpts,
): Promise<number> {
  const markdown = words.length > 0 ? found(words, program) : flags.markdown ? whole(program) : topicList();
  if (flags.markdown) printDocument(markdown);
  else {
    const columns = Math.min(widest, process.stdout.columns ?? 80);
    const text = (heading: Emphasis): string => toText(markdown, columns, heading).join('\n');
    await page({ styled: text(strong), plain: text((heading) => heading) });
  }
  return exit.done;
}

function found(words: readonly string[], program: CommandUnknownOpts): string {
  const name = words.join(' ');
  const topic = words.length === 1 ? pageOf(name.toLowerCase(), program) : null;
  if (topic !== null) return topic;
  const command = words.reduce<CommandUnknownOpts | undefined>(
    (within, word) => within?.commands.find((one) => one.name() === word),
    program,
  );
  if (command) return commandSection(command, '#');
  const known = [...topics, ...program.commands.map((one) => ({ name: one.name() }))].map((one) => one.name);
  throw new Stop(
    exit.call,
    `there is no page ${quoted(name)}${didYouMean(name, known)}`,
    'barkline help lists the pages, and barkline --help lists the commands',
  );
}

/** The whole reference, a page after the other. */
function whole(program: CommandUnknownOpts): string {
  return topics.map(({ name }) => pageOf(name, program)?.trimEnd()).join('\n\n');
}

/** Headings are bold in a pager, unless NO_COLOR asks for a screen without styles. */
function strong(text: string): string {
  return (process.env.NO_COLOR ?? '') === '' ? `\u001b[1m${text}\u001b[0m` : text;
}
