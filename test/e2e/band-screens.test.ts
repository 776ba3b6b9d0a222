import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, expect, it } from 'vitest';
import { cleanEnv, freshFolder, program, until } from './harness.js';
import { freePort } from './mosquitto.js';
import { Screen } from './screen.js';

const word = 'kola-tiru-bamo-sidu';
/** A stand's first frame, its broker and its arrangement: on a busy machine each takes its time. */
const patient = 60_000;
const slow = 20_000;

const song = `title: The Leaning Reeds
key: A
tempo: 80
meter: 4/4
form: V, C, V, C, V, C, V, C
sections:
  V: |
    > Down where the reeds lean over
    1 4 1 5
    > All the way to the weir
    4 1 5 1
  C: |
    > Lean on, lean on
    4 4 6- 1
    > Lean on to morning
    2- 5 1 1
`;

const screens: Screen[] = [];
const folders: { remove(): void }[] = [];

afterEach(() => {
  for (const screen of screens.splice(0)) screen.close();
});
afterAll(() => {
  for (const folder of folders.splice(0)) folder.remove();
});

/** The program on a terminal of its own, with a home of its own: a laptop in the room. */
function laptop(words: string, files: Record<string, string> = {}): Screen {
  const home = freshFolder();
  folders.push(home);
  for (const [name, text] of Object.entries(files)) writeFileSync(join(home.path, name), text);
  const at = words.replaceAll('HOME', home.path);
  const screen = new Screen(80, 24, `${process.execPath} ${program} ${at}`, cleanEnv(home.path));
  screens.push(screen);
  return screen;
}

/** The program is left, and its terminal is the shell's again. */
async function leaves(screen: Screen): Promise<void> {
  await screen.press('C-c');
  await screen.shows('ended 0', patient);
}

it('plays as a band on terminals: begins, turns, calls, changes key, looks ahead, is joined late and left by the leader', async () => {
  const port = await freePort();
  const files = {
    'song.yaml': song,
    'set.yaml': 'title: An Evening at the Weir\ncharts:\n  - file: song.yaml\n',
  };
  const own = `--port ${port} --word ${word} --name Ansa --count-in 0 --out none`;
  const leader = laptop(`lead HOME/set.yaml ${own}`, files);
  await leader.shows('you lead', patient);
  const join = (name: string, part: string): Screen =>
    laptop(`join mqtt://127.0.0.1:${port} --word ${word} --part ${part} --name ${name}`);
  const guitar = join('Bert', 'guitar');
  const card = await guitar.shows(/plays as G \(key A\)[\s\S]*Ansa leads/, patient);
  expect(card).toContain('The Leaning Reeds');
  expect(card).toContain('silent here: o for sound');

  await leader.press('Space');
  const playing = await guitar.shows('pass 1 of 1', patient);
  expect(playing).toContain('Ansa leads the band');
  expect(playing).toMatch(/capo 2, plays as G \(key A\)/);

  await leader.press('x');
  await leader.shows(/[VC] once more/, slow);
  await guitar.shows('this section once more', slow);

  await leader.press('B');
  await leader.shows('1 once more', slow);
  await leader.press('3');
  // In block letters, with the caller's name beside them.
  await guitar.shows(/[█▀▄] {3,}Ansa$/m, slow);

  await leader.press('>');
  await leader.shows(/Reeds +B♭/, slow);
  const higher = await guitar.shows(/capo 3, plays as G \(key B♭\)/, slow);
  expect(higher).toMatch(/Reeds +B♭ +80/);

  await guitar.press('PageDown');
  await guitar.press('PageDown');
  await guitar.shows('looking elsewhere: the music is at bar', slow);
  expect(leader.text()).not.toContain('looking elsewhere');
  await guitar.press('Escape');
  expect(await until(() => !guitar.text().includes('looking elsewhere'), slow)).toBe(true);
  expect(guitar.text()).toContain('Ansa leads the band');

  const late = join('Cleo', 'bass');
  const came = await late.shows(/pass 1 of 1[\s\S]*key B♭/, patient);
  expect(came).toContain('The Leaning Reeds');
  await leader.shows('3 here', slow);
  // Both stands are in one bar of 64.
  const bar = (screen: Screen): number => Number(/(\d+) of 64/.exec(screen.text())?.[1]);
  const [here, there] = [bar(leader), bar(late)];
  expect(Math.abs(here - there)).toBeLessThanOrEqual(1);

  await leaves(leader);
  // Its broker has gone with it: the goodbye may or may not have come through before.
  for (const stand of [guitar, late]) {
    const alone = await stand.shows(/nobody leads|no leader|network (has gone|lost)/, slow);
    expect(alone).toContain('pass 1 of 1');
    const left = bar(stand);
    expect(await until(() => Number.isFinite(bar(stand)) && bar(stand) !== left, slow)).toBe(true);
  }
  await Promise.all([leaves(guitar), leaves(late)]);
}, 240_000);
