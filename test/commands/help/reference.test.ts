import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { programFor } from '../../../src/commands/all.js';
import { pageOf, referenceFiles } from '../../../src/commands/help/pages.js';
import { topics, writtenTopics } from '../../../src/commands/help/topics.js';
import { settingNames } from '../../../src/config/setting-words.js';
import { limitLines } from '../../../src/listen/say-limits.js';
import { usualBindings } from '../../../src/ui/keys/bindings.js';

/* What charts/reference says must be what the program says: `npm run reference` rewrites it. */

const folder = new URL('../../../charts/reference/', import.meta.url);
let program: Awaited<ReturnType<typeof programFor>>;
beforeAll(async () => {
  program = await programFor('', () => {});
});
const page = (name: string): string => pageOf(name, program) ?? '';

describe('the reference', () => {
  it('is what the program says (else: npm run reference)', () => {
    const files = referenceFiles(program);
    expect(readdirSync(folder).sort()).toEqual([...files.keys()].sort());
    for (const [name, text] of files) expect(readFileSync(new URL(name, folder), 'utf8'), name).toBe(text);
  });

  it('links to files that exist', () => {
    for (const [name, text] of referenceFiles(program))
      for (const [, to = ''] of text.matchAll(/\]\(([^)#]+)[^)]*\)/g))
        expect(existsSync(new URL(to, folder)), `${name}: ${to}`).toBe(true);
  });

  it('has a page for each topic, and none for other names', () => {
    for (const { name } of topics) expect(page(name)).toMatch(/^# \S/);
    expect(pageOf('nothing', program)).toBeNull();
    expect(pageOf('../pages/stand', program)).toBeNull();
  });

  it('names commands, options and pages that exist', () => {
    const known = new Set(program.commands.map((one) => one.name()));
    for (const { name } of writtenTopics)
      for (const [, command = ''] of page(name).matchAll(/\bbarkline ([a-z]+)\b/g))
        expect(known, `${name}: barkline ${command}`).toContain(command);
    for (const { name } of writtenTopics)
      for (const [, topic = ''] of page(name).matchAll(/\bbarkline help ([a-z]+)\b/g))
        expect(pageOf(topic, program), `${name}: barkline help ${topic}`).not.toBeNull();
    const commands = page('commands');
    for (const { name } of writtenTopics)
      for (const [option] of page(name).matchAll(/(?<![\w-])--[a-z][a-z-]+/g))
        expect(
          commands.includes(`${option} `) || commands.includes(`${option}\``),
          `${name}: ${option}`,
        ).toBe(true);
  });
});

describe('the pages that are made', () => {
  it('have every command with its options, choices and examples', () => {
    const commands = page('commands');
    for (const heading of ['## barkline play', '## barkline shed drill', '## barkline help'])
      expect(commands).toContain(`\n${heading}\n`);
    expect(commands).toMatch(
      /\| `--click <kind>` +\| which beats click: every, backbeat, first, divided, off +\|/,
    );
    expect(commands).toContain('\nExamples:\n\n    barkline play CHART --key Bb --tempo 75%\n');
    expect(commands).toMatch(/`--level <level>` .*default: steady/);
    for (const line of limitLines()) expect(commands).toContain(`\n    ${line}\n`);
  });

  it('leave out options that are not told', () => {
    const section =
      page('commands')
        .split('\n## ')
        .find((one) => one.startsWith('barkline play\n')) ?? '';
    expect(section).toContain('--lead');
    expect(section).not.toContain('--broker');
  });

  it('have every key of every place with the name that the settings know', () => {
    const keys = page('keys');
    for (const { place, action } of usualBindings) {
      const section = keys.split('\n## ').find((one) => one.includes(`The place \`${place}\`.`)) ?? '';
      expect(section, `${place}.${action}`).toMatch(new RegExp(`\\| \`${action}\` +\\|`));
    }
  });

  it('have every setting', () => {
    for (const name of settingNames) expect(page('settings')).toMatch(new RegExp(`\\n\\| \`${name}\` `));
  });

  it('have the notation on one screen, and at length', () => {
    const whole = readFileSync(new URL('../../../charts/README.md', import.meta.url), 'utf8');
    expect(page('notation')).toContain(whole.slice(whole.indexOf('\n\n')));
    expect(page('notation')).toContain('\n      title: Rowan Ferry');
  });

  it('have the limits of a clean pass', () => {
    for (const line of limitLines()) expect(page('listening')).toContain(`    ${line}\n`);
  });
});
