import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { demo, freshFolder, hanging, noteOns, pause, program, settled, until } from './harness.js';
import { setStage } from './stage.js';

const stage = setStage();
const { folder, fromNow, expectLeft } = stage;
const open = stage.open.bind(stage);

const looks = [
  ['colour', {}, ''],
  ['no colour', { NO_COLOR: '1' }, ''],
  ['no Unicode', {}, '--no-unicode'],
] as const;

describe('the stand in every size and look', () => {
  for (const [columns, rows] of [
    [60, 18],
    [80, 24],
    [100, 30],
    [140, 45],
    [200, 60],
  ] as const) {
    for (const [look, env, flag] of looks) {
      it(`${columns}x${rows}, ${look}`, async () => {
        const shown = open(columns, rows, `play ${demo('third-lantern-down')} ${flag}`, env);
        const ready = await shown.shows(/ready[\s\S]*now +1 +G +7-5-2-3[\s\S]*Space play/);
        stage.capture(`stand ${columns}x${rows} ${look}`, ready);
        const lines = ready.split('\n');
        expect(lines[0]).toMatch(/^ Third Lantern Down +G +168 (♩|quarters) +4\/4 +ready/);
        expect(lines[1]).toMatch(/^ kickoff.* 1 of 100$/);
        expect(lines[rows - 2]).toMatch(/^ Space play .*\? keys/);
        expect(ready).toMatch(/next +5 +D +7-4-5-x/);
        if (flag !== '') expect(ready).toMatch(/^[\n -~]*$/);
        await shown.press('Space');
        const playing = await shown.shows(/pass 1/);
        expect(playing.split('\n')[0]).toContain('Third Lantern Down');
        await shown.shows(/ [2-9] of 100/);
        await shown.press('f');
        const far = await shown.shows(/kickoff bar [2-9] of 100/);
        stage.capture(`far ${columns}x${rows} ${look}`, far);
        if (flag !== '') expect(far).toMatch(/^[\n -~]*$/);
        else expect(far).toContain('█');
        await shown.press('q');
        await expectLeft(shown);
      });
    }
  }
});

describe('every key of the stand', () => {
  it('does what the help says, paused and playing, and leaves nothing sounding', async () => {
    const heard = fromNow();
    const shown = open(100, 30, `play ${demo('weir-hands')}`);
    await shown.shows('ready');
    const seen = async (key: string, wanted: string | RegExp): Promise<void> => {
      await shown.press(key);
      await shown.shows(wanted);
    };
    await seen('Right', ' 2 of 60');
    await seen('Left', ' 1 of 60');
    await seen('Down', ' 5 of 60');
    await seen('NPage', ' 13 of 60');
    await seen('Up', ' 5 of 60');
    await seen('PPage', ' 1 of 60');
    await seen('End', ' 53 of 60');
    await seen('Home', ' 1 of 60');
    await seen('+', '257 ♩  102%');
    await seen('-', /252 ♩ +4/);
    await seen('9', '227 ♩  90%');
    await seen('0', /252 ♩ +4/);
    await seen('.', /C +252/);
    await seen(',', /B +252/);
    await seen('y', 'two bars of count-in');
    await seen('y', 'no count-in');
    await seen('n', 'numbers only');
    expect(shown.text()).not.toMatch(/F♯/);
    await seen('Tab', /F♯/);
    await shown.press('Tab', 'n', 'n');
    await seen('h', 'h shows it');
    await seen('h', '11-9-6-7');
    await seen('l', 'the coming lines are hidden');
    await shown.press('l');
    await seen('w', 'lines as written');
    await seen('w', 'as it is written');
    await seen('w', 'four bars a line');
    await seen('a', 'loop: bars 1 to 60');
    await seen('Right', ' 2 of 60');
    await seen('z', 'loop: bars 1 to 2');
    await seen('x', 'no loop');
    await seen('s', 'Shape for 1 B');
    await seen('Escape', 'Space play');
    await seen('k', 'as the chart has it');
    await seen('Escape', 'Space play');
    await seen('c', 'backbeat');
    await seen('Escape', 'Space play');
    await seen('p', 'low-chop');
    await seen('Escape', 'Space play');
    await seen('v', 'root and fifth');
    await seen('Escape', 'Space play');
    await seen('o', 'Output');
    await seen('Escape', 'Space play');
    await seen('?', 'Keys, page 1');
    await seen('?', 'Keys, page 2');
    await seen('Escape', 'Space play');
    await shown.press('g', '1', '3');
    await seen('Enter', ' 13 of 60');
    await shown.press('t', 't');
    await seen('t', 'tapped:');
    await seen('b', 'bar 13 of the pass');
    await seen('Escape', 'Space play');
    await seen('r', 'nothing to undo');
    await seen('e', 'ends with this pass');
    await seen('e', 'until you stop it');
    const before = noteOns(heard()).length;
    await seen('u', 'tuning: G3 D4 A4 E5');
    expect(await until(() => noteOns(heard()).length > before)).toBe(true);
    expect(noteOns(heard()).at(-1)?.bytes[1]).toBe(55);
    await seen('u', 'ready');
    await shown.press('Space');
    await shown.shows('pass 1');
    for (const key of [
      'Right',
      'Down',
      'Left',
      'Up',
      '+',
      '-',
      '9',
      '0',
      '.',
      ',',
      'n',
      'n',
      'n',
      'w',
      'w',
      'w',
      'h',
      'h',
      'l',
      'l',
      'Tab',
      'a',
      'z',
      'x',
      't',
      'y',
      'y',
      'f',
      'f',
      's',
      'u',
      'e',
      'e',
      'i',
    ])
      await shown.press(key);
    await shown.shows('pass 1');
    await seen('Space', 'paused');
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
    await shown.press('q');
    await expectLeft(shown);
  });

  it('keeps what was chosen for a chart, and goes on with it', async () => {
    const home = freshFolder();
    const kept = { XDG_STATE_HOME: home.path, XDG_DATA_HOME: home.path };
    const first = open(80, 24, `play ${demo('weir-hands')}`, kept);
    await first.shows('ready');
    await first.press('.', '+', 'w');
    await first.shows(/C +257/);
    await first.press('q');
    await first.shows('ended 0');
    first.close();
    const again = open(80, 24, `play ${demo('weir-hands')}`, kept);
    await again.shows(/C +257/);
    await again.press('q');
    await again.shows('ended 0');
    again.close();
    const told = open(80, 24, `play ${demo('weir-hands')} --key A`, kept);
    await told.shows(/A +257/);
    await told.press('q');
    await told.shows('ended 0');
    home.remove();
  });
});

describe('the pencil and writing down a song', () => {
  it('writes a bar of one’s own chart, comments kept, and takes it back', async () => {
    const text =
      '# by ear\ntitle: Ferry Bell\nkey: A\ntempo: 240\nsections:\n  V: |\n    1  4 5 1 ; the line\n';
    const file = join(folder, 'ferry-bell.yaml');
    writeFileSync(file, text);
    const shown = open(80, 24, `play ${file}`);
    await shown.shows('ready');
    await shown.press('Right', 'b');
    await shown.shows('bar 2 of the pass');
    await shown.press('x');
    await shown.shows('✗');
    await shown.press('BSpace', 'BSpace', '(', '4', 'Space', '5', ')', 'Enter');
    await shown.shows('written; r undoes it');
    expect(readFileSync(file, 'utf8')).toBe(text.replace('1  4 5 1', '1  (4 5) 5 1'));
    await shown.press('r');
    expect(await until(() => readFileSync(file, 'utf8') === text)).toBe(true);
    await shown.press('q');
    await expectLeft(shown);
  });

  it('writes a song down while the count runs, names it, and has it on the stand', async () => {
    const home = freshFolder();
    const shown = open(80, 24, '', { XDG_DATA_HOME: home.path });
    await shown.shows('write down a new chart');
    await shown.press('End', 'Enter');
    await shown.shows('1 to 7 write the chord');
    for (let step = 0; step < 24; step += 1) await shown.press('+');
    await shown.press('Space', '1');
    // A bar is a second at 240.
    await shown.shows(/bar 1 /, 8000);
    await pause(2300);
    await shown.press('4', 's', '5');
    await shown.press('Enter');
    await shown.shows('its title');
    await shown.press('F', 'e', 'r', 'r', 'y', 'Enter');
    await shown.shows(/Ferry .*ready/);
    const [name = ''] = readdirSync(join(home.path, 'barkline', 'charts'));
    expect(name).toBe('ferry.yaml');
    const written = readFileSync(join(home.path, 'barkline', 'charts', name), 'utf8');
    expect(written).toMatch(
      /^title: Ferry\nkey: G\ntempo: 240\nmeter: 4\/4\nsections:\n {2}A: \|\n {4}1 .*\(4 5\)/,
    );
    await shown.press('q');
    await expectLeft(shown);
    home.remove();
  });
});

describe('manners', () => {
  it('twenty resizes a second for ten seconds while it plays: the music goes on and the screen is whole', async () => {
    const heard = fromNow();
    const shown = open(100, 30, `play ${demo('weir-hands')}`);
    await shown.shows('ready');
    await shown.press('Space');
    await shown.shows('pass 1');
    const sizes = [
      [60, 18],
      [140, 45],
      [59, 17],
      [80, 24],
      [200, 60],
    ] as const;
    const start = noteOns(heard()).length;
    for (let step = 0; step < 200; step += 1) {
      const [columns, rows] = sizes[step % sizes.length] as (typeof sizes)[number];
      shown.resize(columns, rows);
      await pause(38);
    }
    shown.resize(100, 30);
    await shown.shows(/Weir Hands[\s\S]*now[\s\S]*next[\s\S]*Space pause/);
    expect(
      shown
        .text()
        .split('\n')
        .filter((line) => line.includes('Weir Hands')),
    ).toHaveLength(1);
    // Ten seconds at 252 beats a minute are more than forty clicks.
    expect(noteOns(heard()).length - start).toBeGreaterThan(40);
    await shown.press('q');
    await expectLeft(shown);
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
  });

  it('Ctrl-Z gives the shell its terminal, fg takes it again, and the music can go on', async () => {
    const heard = fromNow();
    const shown = stage.run(80, 24, 'bash --norc -i', { PS1: '$ ' });
    await shown.shows(/[$#]/);
    const type = async (line: string): Promise<void> => {
      shown.type(line);
      await shown.press('Enter');
    };
    await type(`${process.execPath} ${program} play ${demo('weir-hands')} --out raw:${stage.reader.path}`);
    await shown.shows('ready');
    await shown.press('Space');
    await shown.shows('pass 1');
    await shown.press('C-z');
    await shown.shows('Stopped');
    expect(shown.state()).toEqual({ alternate: false, cursor: true });
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
    await type('echo still $((40+2))');
    await shown.shows('still 42');
    await type('fg');
    await shown.shows(/Weir Hands.*paused/);
    expect(shown.state().alternate).toBe(true);
    const count = noteOns(heard()).length;
    await shown.press('Space');
    expect(await until(() => noteOns(heard()).length > count + 4)).toBe(true);
    await shown.press('q');
    await shown.shows('still 42');
    expect(shown.state()).toEqual({ alternate: false, cursor: true });
    await type('exit');
    await expectLeft(shown);
  });

  it('a title in wide letters is cut where the screen ends, not beyond', async () => {
    const file = join(folder, 'wide.yaml');
    writeFileSync(
      file,
      `title: ${'渡し場の鐘'.repeat(12)}\nkey: A\ntempo: 120\nsections:\n  V: |\n    1 4 5 1\n`,
    );
    const shown = open(60, 18, `play ${file}`);
    const text = await shown.shows('ready');
    expect(text.split('\n')[0]).toMatch(/^ 渡し場.*… +A +120/);
    await shown.press('q');
    await expectLeft(shown);
  });

  it('keys of one’s own hold, and faults in the settings are told on the screen', async () => {
    const home = freshFolder();
    mkdirSync(join(home.path, 'barkline'));
    writeFileSync(
      join(home.path, 'barkline', 'settings.yaml'),
      'keys:\n  faster: j\n  fastr: k\nneck: left-handed\n',
    );
    const shown = open(80, 24, `play ${demo('weir-hands')}`, { XDG_CONFIG_HOME: home.path });
    await shown.shows('did you mean “faster”');
    await shown.shows(/12 +11 +10/);
    await shown.press('j');
    await shown.shows('257 ♩');
    await shown.press('q');
    await expectLeft(shown);
    home.remove();
  });
});
