import { existsSync, readFileSync } from 'node:fs';
import { beforeAll, expect, it } from 'vitest';
import { programFor } from '../../src/commands/all.js';
import { commandsPage } from '../../src/commands/help/commands-page.js';
import { pageOf } from '../../src/commands/help/pages.js';

const root = new URL('../../', import.meta.url);
const text = readFileSync(new URL('README.md', root), 'utf8');
let program: Awaited<ReturnType<typeof programFor>>;
beforeAll(async () => {
  program = await programFor('', () => {});
});

it('has 2 000 words at most', () => {
  expect(text.split(/\s+/).filter((word) => /[\p{L}\p{N}]/u.test(word)).length).toBeLessThanOrEqual(2000);
});

it('opens with the job in one paragraph, then a picture', () => {
  const [title, job, picture] = text.split('\n\n');
  expect(title).toBe('# barkline');
  expect(job).toMatch(/^You play rhythm/);
  expect((job ?? '').split(/\s+/).length).toBeLessThanOrEqual(140);
  expect(picture).toMatch(/^!\[.+\]\(charts\/stand\.svg\)$/);
});

it('says what to take care of before the first song is played', () => {
  const caution = text.search(/clinician/);
  expect(caution).toBeGreaterThan(0);
  expect(caution).toBeLessThan(text.indexOf('Space plays'));
  expect(text).toMatch(/volume low/);
});

it('links to files that exist', () => {
  const links = [...text.matchAll(/\]\(([^)#]+)[^)]*\)/g)].map(([, to = '']) => to);
  expect(links.length).toBeGreaterThan(15);
  for (const to of links) expect(existsSync(new URL(to, root)), to).toBe(true);
});

it('names commands, options and pages that exist', () => {
  const commands = commandsPage(program);
  const names = program.commands.map((one) => one.name());
  const called = [...text.matchAll(/\bbarkline ([a-z]+)\b/g)].map(([, name = '']) => name);
  for (const name of called) expect(names, name).toContain(name);
  expect(called.length).toBeGreaterThan(15);
  for (const [, topic = ''] of text.matchAll(/\bbarkline help ([a-z]+)\b/g))
    expect(names.includes(topic) || pageOf(topic, program) !== null, topic).toBe(true);
  for (const [option] of text.matchAll(/(?<![\w-])--[a-z][a-z-]+/g))
    expect(commands.includes(`${option} `) || commands.includes(`${option}\``), option).toBe(true);
});
