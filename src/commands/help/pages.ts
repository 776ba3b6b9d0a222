import { readFileSync } from 'node:fs';
import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { notation } from '../../chart/notation.js';
import { limitLines } from '../../listen/say-limits.js';
import { commandsPage } from './commands-page.js';
import { keysPage } from './keys-page.js';
import { plainCommands } from './plain-page.js';
import { settingsPage } from './settings-page.js';
import { tableOf } from './table.js';
import { topics, writtenTopics } from './topics.js';

/** What a written page names between double braces, and the program knows: blocks of code. */
const known: Readonly<Record<string, () => readonly string[]>> = { limits: limitLines };

/**
 * A page of the reference as Markdown, by the name of its topic; `null` where no topic has that name.
 *
 * @param program with all its commands
 */
export function pageOf(name: string, program: CommandUnknownOpts): string | null {
  if (name === 'commands') return commandsPage(program);
  if (name === 'keys') return keysPage();
  if (name === 'settings') return settingsPage();
  if (name === 'notation') return notationPage();
  return writtenTopics.some((topic) => topic.name === name) ? writtenPage(name) : null;
}

function writtenPage(name: string): string {
  const text = readFileSync(new URL(`pages/${name}.md`, import.meta.url), 'utf8');
  return text.replace('{{commands}}', plainCommands).replace(/^\{\{(\w+)\}\}$/gm, (_, what: string) => {
    const lines = known[what];
    if (!lines) throw new Error(`the page ${name} names ${what}, which is not known`);
    return code(lines());
  });
}

/** How charts are written: on one screen, and then the page that stands beside the demo charts, which has all of it. */
function notationPage(): string {
  const whole = readFileSync(new URL('../../../charts/README.md', import.meta.url), 'utf8');
  const [title = '', ...rest] = whole.split('\n');
  return [title, '', code(notation.split('\n')), ...rest].join('\n');
}

function code(lines: readonly string[]): string {
  return lines.map((line) => `    ${line}`.trimEnd()).join('\n');
}

/** The list of the pages as Markdown. */
export function topicList(): string {
  const rows = topics.map(({ name, says }) => [`\`${name}\``, says]);
  return [
    '# Help',
    '`barkline help TOPIC` shows a page, and `barkline help COMMAND` a command with its options: `barkline help play`.',
    tableOf(['topic', 'tells'], rows),
  ].join('\n\n');
}

/**
 * The reference as files, from their names to their texts: every page but how charts are written, which is a file already, and a
 * list of them.
 */
export function referenceFiles(program: CommandUnknownOpts): ReadonlyMap<string, string> {
  const files = topics
    .filter(({ name }) => name !== 'notation')
    .map(({ name }) => [`${name}.md`, withEnd(pageOf(name, program) ?? '')] as const);
  const list = topics.map(({ name, says }) =>
    name === 'notation' ? `- [${name}](../README.md): ${says}` : `- [${name}](${name}.md): ${says}`,
  );
  const index = `# Reference\n\nThe pages of \`barkline help\`, made from the program by \`npm run reference\`.\n\n${list.join('\n')}\n`;
  return new Map([['README.md', index], ...files]);
}

function withEnd(text: string): string {
  return `${text.trimEnd()}\n`;
}
