import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { firstRunEnv, freshFolder, hanging, noteOns, PipeReader, program, root, until } from './harness.js';
import { Screen } from './screen.js';

const home = freshFolder();
const reader = new PipeReader(home.path);
const screen = new Screen(
  80,
  24,
  `${process.execPath} ${program} --out raw:${reader.path}`,
  firstRunEnv(join(home.path, 'never-there'), { HOME: join(home.path, 'home') }),
);
afterAll(() => {
  screen.close();
  reader.close();
  home.remove();
});

/** README's section on the first song, its lines joined. */
const readme = readFileSync(join(root, 'README.md'), 'utf8').replace(/\s+/g, ' ');
const section = readme.slice(readme.indexOf('## The first song'), readme.indexOf('## Practise'));

/** Makes sure that README says something before a test relies on it. */
const said = (words: string): void => expect(section).toContain(words);
const foot = (): string => screen.lines().findLast((line) => line !== '') ?? '';
const clicks = (): number =>
  noteOns(reader.arrivals()).filter(({ bytes }) => (bytes[0] ?? 0) % 16 === 9).length;

/** Presses a key and waits for the foot that follows; answers the screen. */
async function press(key: string, next: RegExp | string): Promise<string> {
  await screen.press(key);
  return screen.shows(next);
}

describe('the first song, key by key, where the program never ran', () => {
  it('opens a list that says where to start, and what to press', async () => {
    said('In the list press Enter on the song that says “start here”: “Ropewalk Penny”, in A');
    expect(await screen.shows('▸ Enter opens the selected song')).toMatch(
      /▸ Ropewalk Penny +A +132 ♩ +4\/4 +start here/,
    );
  });

  it('shows the song with the shape, the next one, and the way there as a sentence', async () => {
    const shown = await press('Enter', /Ropewalk Penny +A +132 ♩ +4\/4 +ready/);
    expect(foot()).toContain('▸ Space starts the music');
    said('_now_ is the current shape and _next_ the next one');
    expect(shown).toMatch(/now +1 +A +9-7-4-5/);
    expect(shown).toMatch(/next +4 +D +7-4-5-x/);
    said('in a sentence while the music rests');
    expect(shown).toMatch(/same frets, one course to the\n.*bass side; little lifts/);
    expect(clicks()).toBe(0);
  });

  it('takes half of the tempo', async () => {
    said('Press `5` for half of its tempo');
    expect(await press('5', 'A    66 ♩  50%')).toContain('50 % of the chart’s tempo: 66');
  });

  it('plays after a bar of count-in, with a click and a bass, and shows the way there in signs', async () => {
    said('Space plays, after a bar of count-in');
    await press('Space', /count [1-4]/);
    expect(await until(() => clicks() >= 2)).toBe(true);
    said('`↓ bass` means the same frets one course toward the bass');
    expect(await screen.shows('pass 1')).toContain('↓ bass');
    expect(foot()).toContain('▸ k puts it in another key');
    said('`in 3` counts the beats to the change');
    expect(await screen.shows(/in 3 +▮▮▮·/)).toContain('pass 1');
    expect(clicks()).toBeGreaterThanOrEqual(8);
    // What is not a click is the bass.
    expect(noteOns(reader.arrivals()).length).toBeGreaterThan(clicks());
    said('`L to G` that the little finger goes to the G course');
    expect(await screen.shows(/↑ treble · L to G/)).toContain('now   4    D');
  });

  it('pauses, and nothing sounds on', async () => {
    said('Space again pauses');
    await press('Space', 'paused');
    expect(await until(() => hanging(reader.arrivals()).length === 0)).toBe(true);
  });

  it('changes the key, plans the hand again, and takes that back', async () => {
    said('`k` changes the key of the song: type `D`, press Enter');
    expect(await press('k', 'type to search   Enter takes it   Esc back')).toContain(
      '▸ A    as the chart has it',
    );
    await press('D', 'search: D');
    expect(await press('Enter', 'key D: from the four-finger to the three-finger family')).toMatch(
      /Ropewalk Penny +D +66/,
    );
    expect(screen.text()).toMatch(/[│ ]7-4-5-x/);
    said('`U` takes back what you chose last');
    expect(await press('U', 'key back to A, from D')).toMatch(/Ropewalk Penny +A +66/);
    expect(foot()).toContain('▸ f shows it in large letters');
  });

  it('shows all keys on one screen, goes back to the list, and leaves', async () => {
    said('`?` shows all keys you can press');
    expect(await press('?', 'the keys of this place')).toMatch(/Space Enter +play, or pause/);
    await press('Escape', 'paused');
    said('Esc goes back, at last to the list');
    const list = await press('Escape', 'Charts and sets');
    // What was pressed once is not told again.
    expect(list).toContain('type to search   Enter opens   Tab sorts   Ctrl-C leaves');
    said('`q` leaves; in the list, where letters search, Ctrl-C does');
    expect(await press('q', 'search: q')).toContain('nothing has “q”');
    expect(foot()).toBe(' type to search   Esc clears');
    await press('Escape', 'Ctrl-C leaves');
    await press('C-c', 'ended 0');
  });
});
