import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseMidi } from 'midi-file';
import { afterAll, describe, expect, it } from 'vitest';
import { cleanEnv, demo, freshFolder, program, root } from './harness.js';

const folder = freshFolder();
afterAll(() => folder.remove());

const names = readdirSync(join(root, 'charts'))
  .filter((name) => name.endsWith('.yaml') && !name.includes('gathering'))
  .map((name) => name.replace('.yaml', ''));
const { musicXmlSchema: schema } = (await import('./outside.mjs' as string)) as { musicXmlSchema: string };
const soundFont = '/usr/share/sounds/sf2/TimGM6mb.sf2';

function run(...words: string[]) {
  return spawnSync(process.execPath, [program, ...words], {
    env: cleanEnv(folder.path),
    encoding: 'utf8',
    cwd: folder.path,
    maxBuffer: 1 << 26,
  });
}

/** Whether a program of the system is there. What is not is said, and its tests are left out. */
function has(name: string): boolean {
  const found = spawnSync('sh', ['-c', `command -v ${name}`]).status === 0;
  if (!found) console.log(`left out: what needs ${name}`);
  return found;
}

const path = (name: string): string => join(folder.path, name);

describe('export', () => {
  it('writes no file over another, unless it is told to', () => {
    const first = run('export', demo('weir-hands'), '--to', 'midi', '-o', 'w.mid');
    expect([first.status, first.stderr]).toEqual([0, `${path('w.mid')}\n`]);
    const bytes = readFileSync(path('w.mid'));
    const again = run('export', demo('weir-hands'), '--to', 'midi', '-o', 'w.mid', '--tempo', '100');
    expect(again.status).toBe(2);
    expect(again.stderr).toContain('w.mid already exists; use --force to overwrite it');
    expect(readFileSync(path('w.mid')).equals(bytes)).toBe(true);
    expect(
      run('export', demo('weir-hands'), '--to', 'midi', '-o', 'w.mid', '--tempo', '100', '--force').status,
    ).toBe(0);
    expect(readFileSync(path('w.mid')).equals(bytes)).toBe(false);
    expect(readdirSync(folder.path).filter((name) => name.endsWith('.part'))).toEqual([]);
  });

  it.each([
    [['--to', 'abd'], 'is not a format; did you mean “abc”?'],
    [[], 'the format is missing'],
    [['--to', 'pdf', '--keys', 'A,Bm'], 'Bm is not'],
    [['--to', 'pdf', '--paper', 'a5'], 'it is a4 or letter'],
    [['--to', 'text', '--blank', 'all'], 'it is chords or shapes'],
    [['--to', 'abc', '-o', '/dev/null/x.abc'], 'cannot be written'],
  ])('with %j says what would be right', (words, told) => {
    const { status, stderr } = run('export', demo('weir-hands'), ...words);
    expect(status).toBe(2);
    expect(stderr).toContain(told);
    expect(stderr).not.toContain('    at ');
  });

  it('writes a set as files in its order, or as one document', () => {
    const set = demo('osier-lock-gathering');
    expect(run('export', set, '--to', 'midi', '-o', 'set').status).toBe(0);
    expect(readdirSync(path('set'))).toEqual([
      '01-sluice-gate-morning.mid',
      '02-third-lantern-down.mid',
      '03-copperwort-lane.mid',
      '04-nine-barges-late.mid',
      '05-osier-and-twine.mid',
      '06-weir-hands.mid',
    ]);
    expect(run('export', set, '--to', 'abc', '--keys', 'A,Bb', '-o', 'keys').status).toBe(0);
    expect(readdirSync(path('keys'))).toHaveLength(12);
    expect(readFileSync(path('keys/06-weir-hands-Bb.abc'), 'utf8')).toContain('K:Bb');
    const text = run('export', set, '--to', 'text').stdout;
    expect(text).toContain('Harvest gathering at Osier Lock, 2031-09-14');
    expect(text).toMatch(/ 4 {2}Nine Barges Late, B♭ {2}232 ♩ {2}4\/4 {2}2:22/);
    expect(text).toContain('Guitar: capo 3, shapes of G.');
  });
});

describe('an ABC file brought in', () => {
  const tunes = fileURLToPath(new URL('../fixtures/tunes.abc', import.meta.url));

  it('is listed, brought in tune by tune, or all at once', () => {
    expect(run('import', tunes, '--list').stdout.trim().split('\n')).toEqual([
      '1  Towpath Reel',
      '    2  Heron on the Weir',
      "    3  The Lock-keeper's Hat",
      '    4  No Chords Here',
      '    5  Odd Bits',
    ]);
    const one = run('import', tunes, '--tune', '2');
    expect(one.stdout).toContain('tempo: dotted=108');
    expect(one.stdout).toContain('\ntune:\n');
    const plain = run('import', tunes, '--tune', '2', '--no-melody');
    expect(plain.stdout).not.toContain('tune:');
    expect(plain.stderr).toContain('the melody is left out');
    const none = run('import', tunes, '--tune', '4', '--no-melody');
    expect([none.status, none.stdout]).toEqual([1, '']);
    expect(none.stderr).toContain('No Chords Here has no chords');
    const melody = run('import', tunes, '--tune', '4');
    expect(melody.status).toBe(0);
    expect(melody.stdout).toContain('nc');
    expect(melody.stdout).toContain('\ntune:\n');
    expect(melody.stderr).toContain('has no chords: its bars are “nc”');
    expect(run('import', tunes).stderr).toContain('has 5 tunes');
    expect(run('import', tunes, '--tune', '9').stderr).toContain('has no tune 9');
    const all = run('import', tunes, '--all', 'tunes');
    expect(all.status).toBe(0);
    expect(all.stderr).toContain('“Hx9” is not a known chord');
    expect(readdirSync(path('tunes'))).toEqual([
      '1-towpath-reel.yaml',
      '2-heron-on-the-weir.yaml',
      '3-the-lock-keeper-s-hat.yaml',
      '4-no-chords-here.yaml',
      '5-odd-bits.yaml',
    ]);
    expect(run('check', ...readdirSync(path('tunes')).map((name) => join('tunes', name))).status).toBe(0);
    expect(run('import', tunes, '--all', 'tunes').status).toBe(2);
  });

  it('is played as it was brought in', () => {
    const played = run(
      'play',
      join('tunes', '2-heron-on-the-weir.yaml'),
      '--plain',
      '--out',
      'none',
      '--tempo',
      '400',
      '--loop',
      '1-4',
    );
    expect(played.status).toBe(0);
    expect(played.stdout).toContain('pass 1 bar 2 A: 4, C');
  });

  it('may be one of many in a folder, with scores beside it', () => {
    mkdirSync(path('mixed'));
    writeFileSync(path('mixed/one.abc'), 'X:1\nT:Same\nK:G\n"G"G8|\n');
    writeFileSync(path('mixed/two.abc'), 'X:1\nT:Same\nK:D\n"D"D8|\n');
    writeFileSync(path('mixed/three.musicxml'), '<torn');
    expect(run('export', demo('weir-hands'), '--to', 'musicxml', '-o', 'mixed/four.musicxml').status).toBe(0);
    const all = run('import', 'mixed', '--all', 'mixed-charts');
    expect(all.status).toBe(2);
    expect(all.stderr).toContain('three.musicxml:1:');
    expect(all.stderr).toContain('3 charts written');
    expect(readdirSync(path('mixed-charts'))).toEqual(['1-same-2.yaml', '1-same.yaml', '1-weir-hands.yaml']);
    expect(run('import', 'mixed').stderr).toContain('mixed is a folder');
  });

  it('says that --words cannot keep what another voice sings', () => {
    const voices = 'X:1\nT:Two\nM:4/4\nL:1/4\nK:A\nV:1\n"A"A4|"D"d4|\nV:2\na4|f4|\nw: down there\n';
    writeFileSync(path('voices.abc'), voices);
    const { status, stderr } = run('import', 'voices.abc', '--words');
    expect(status).toBe(0);
    expect(stderr).toContain('another voice or part than the chords, so --words cannot keep them');
    writeFileSync(path('voices.abc'), voices.replace('V:2\na4|f4|\n', ''));
    const kept = run('import', 'voices.abc', '--words');
    expect(kept.stdout).toContain('> down there');
    expect(kept.stderr).not.toContain('--words');
  });

  it('names what a folder has beside songs: folders, letter sheets, empty files', () => {
    mkdirSync(path('shelf/old'), { recursive: true });
    mkdirSync(path('shelf/box.abc'));
    writeFileSync(path('shelf/one.abc'), 'X:1\nT:Copper Mill\nM:4/4\nL:1/4\nK:A\n"A"A4|"D"d4|\n');
    for (const name of ['empty.abc', 'empty.musicxml']) writeFileSync(path(`shelf/${name}`), '');
    for (const name of ['a.txt', 'b.TXT']) writeFileSync(path(`shelf/${name}`), 'A D E A\n');
    const all = run('import', 'shelf', '--all', 'from-shelf');
    expect(all.status).toBe(0);
    expect(all.stderr).toContain('2 folders are ignored: box.abc, old; import each one by itself');
    expect(all.stderr).toContain('2 files that may be sheets of letters are ignored: a.txt, b.TXT; ');
    expect(all.stderr).toContain('barkline import SHEET.txt --key A');
    expect(all.stderr).toContain('shelf/empty.abc is empty; there is no song in it');
    expect(all.stderr).toContain('shelf/empty.musicxml is empty; there is no song in it');
    expect(all.stderr).toContain('1 chart written');
  });

  it('may be one of a whole folder of scores: each a chart, faults by file, what is left out by its kind', () => {
    mkdirSync(path('scores'));
    for (const name of names) {
      expect(run('export', demo(name), '--to', 'musicxml', '-o', `scores/${name}.musicxml`).status).toBe(0);
      // The same song in two files is two charts.
      writeFileSync(path(`scores/${name}-2.xml`), readFileSync(path(`scores/${name}.musicxml`)));
    }
    writeFileSync(path('scores/torn.mxl'), 'PK no archive');
    writeFileSync(path('scores/none.xml'), '<score-partwise><part><measure/></part></score-partwise>');
    writeFileSync(path('scores/photo.jpg'), 'no');
    const all = run('import', 'scores', '--all', 'from-scores');
    expect(all.status).toBe(2);
    expect(all.stderr).toContain(`${2 * names.length} charts written to`);
    expect(all.stderr).toContain('; 1 song without chords; 1 not written');
    expect(all.stderr).toContain('scores/torn.mxl: ');
    expect(all.stderr).toContain('not an ABC or MusicXML file is ignored: photo.jpg');
    expect(readdirSync(path('from-scores'))).toHaveLength(2 * names.length);
    expect(
      run('check', ...readdirSync(path('from-scores')).map((name) => join('from-scores', name))).status,
    ).toBe(0);
    const again = run('import', 'scores', '--all', 'from-scores');
    expect(again.stderr).toContain(`0 charts written to`);
    expect(again.stderr.match(/already exists/g)).toHaveLength(2 * names.length);
    expect(run('import', 'scores', '--all', 'more', '--key', 'A').stderr).toContain('--key is for one song');
  });

  it('has its numbers from another key where that is given', () => {
    writeFileSync(path('modal.abc'), 'X:1\nT:M\nM:4/4\nL:1/4\nQ:1/4=100\nK:none\n"Am"z4|"G"z4|"E"z4|\n');
    const open = run('import', 'modal.abc');
    expect(open.stdout).toContain('key: E\n');
    expect(open.stderr).toContain('no key is named; E is assumed, because of the last chord');
    const given = run('import', 'modal.abc', '--key', 'Am');
    expect(given.stdout).toContain('key: Am\n');
    expect(given.stdout).toContain('1- b7 5\n');
    expect(run('import', 'modal.abc', '--meter', '3/4').stderr).toContain('are for sheets of letters');
  });

  it('of a thousand tunes is brought in whole', () => {
    const tune = (number: number): string =>
      `X:${number}\nT:Tune ${number}\nM:4/4\nL:1/8\nK:G\n|:${'"G"GABc dcBA|"C"c2e2 "D7"d4|'.repeat(8)}"G"G8:|\n\n`;
    writeFileSync(path('many.abc'), Array.from({ length: 1000 }, (_, index) => tune(index + 1)).join(''));
    const { status, stderr } = run('import', 'many.abc', '--all', 'many');
    expect(status).toBe(0);
    expect(stderr).toContain('1000 charts written');
    expect(readdirSync(path('many'))).toHaveLength(1000);
  });
});

describe('bad input', () => {
  it.each([
    ['bytes.abc', Buffer.from([0, 1, 2, 0x58, 0x3a, 0x31, 0xff])],
    ['empty.abc', Buffer.from('')],
    ['page.musicxml', Buffer.from('<html></html>')],
    ['torn.musicxml', Buffer.from('<score-partwise><part>')],
    ['lies.mxl', Buffer.from('PK\u0003\u0004 no archive')],
    ['entity.xml', Buffer.from('<!DOCTYPE a [<!ENTITY b "c">]><a/>')],
  ])('in %s is answered with a sentence', (name, bytes) => {
    writeFileSync(path(name), bytes);
    const { status, stderr, stdout } = run('import', name);
    expect([1, 2]).toContain(status);
    expect(stdout).toBe('');
    expect(stderr.length).toBeGreaterThan(20);
    expect(stderr).not.toContain('    at ');
  });
});

const sum = (numbers: readonly number[]): number => numbers.reduce((all, one) => all + one, 0);

/** A number as `3` or `3/2`. */
function fraction(text: string): number {
  const [upper = '', lower = '1'] = text.split('/');
  return Number(upper) / Number(lower);
}

describe.runIf(has('abc2midi'))('abc2midi', () => {
  it.each(names)('reads %s without a complaint', (name) => {
    const words = ['export', demo(name), '--to', 'abc', '--shapes', '--force', '-o', 'own.abc'];
    expect(run(...words).status).toBe(0);
    const told = execFileSync('abc2midi', ['own.abc', '-o', 'own.mid'], {
      cwd: folder.path,
      encoding: 'utf8',
    });
    // It tells of every bar that is shorter than its meter: one that a pick-up makes full, and the pick-up. No other complaint is expected.
    const short = [
      ...told.matchAll(/^Warning .*Bar \d+ has (\S+) time units while the time signature has (\d+)$/gm),
    ];
    const lengths = new Set(short.map(([, units = '']) => fraction(units)));
    expect(short.length === 0 || sum([...lengths]) === Number(short[0]?.[2]), told).toBe(true);
    expect(told.replace(/^Warning .*time units while.*$/gm, '')).not.toMatch(/error|warning/i);
    expect(parseMidi(readFileSync(path('own.mid'))).tracks.length).toBeGreaterThan(0);
  });
});

describe.runIf(has('xmllint') && existsSync(schema))('the W3C schema', () => {
  it.each(names)('holds for %s', (name) => {
    expect(
      run('export', demo(name), '--to', 'musicxml', '--shapes', '--force', '-o', 'own.musicxml').status,
    ).toBe(0);
    const read = spawnSync('xmllint', ['--noout', '--nonet', '--schema', schema, path('own.musicxml')], {
      encoding: 'utf8',
    });
    expect(read.stderr).toContain('validates');
  });

  it('holds for words of phrases and cues, which come back as they were', () => {
    const text =
      'title: T\nkey: G\ntempo: 120\nsections:\n  A: |\n    > 1. The "river" <took> & left\n    > 2. 水車 cafe\u0301\n    "in" "soft; now" 1 4 5 1\n';
    writeFileSync(path('words.yaml'), text);
    for (const format of ['musicxml', 'abc']) {
      const file = `words.${format}`;
      expect(run('export', 'words.yaml', '--to', format, '--force', '-o', file).status).toBe(0);
      const back = run('import', file);
      expect([back.status, back.stdout.split('sections:')[1]]).toEqual([0, text.split('sections:')[1]]);
    }
    const read = spawnSync('xmllint', ['--noout', '--nonet', '--schema', schema, path('words.musicxml')], {
      encoding: 'utf8',
    });
    expect(read.stderr).toContain('validates');
  });
});

describe.runIf(has('pdftotext'))('a PDF read by another program', () => {
  it('has its text, with the musician’s signs', () => {
    run('export', demo('nine-barges-late'), '--to', 'pdf', '--keys', 'Bb,E', '--force', '-o', 'own.pdf');
    const text = execFileSync('pdftotext', ['-layout', 'own.pdf', '-'], {
      cwd: folder.path,
      encoding: 'utf8',
    });
    expect(text).toContain('Nine Barges Late');
    for (const told of [
      'E♭',
      'F♯m',
      '10-7-8-x',
      'Guitar: capo 3, shapes of G. Banjo: capo 3, fifth string at 8.',
      'Right hand, low-chop',
    ])
      expect(text).toContain(told);
    const fonts = execFileSync('pdffonts', ['own.pdf'], { cwd: folder.path, encoding: 'utf8' });
    expect(fonts.match(/TrueType .* yes yes yes/g)?.length).toBe(2);
  });

  it('has shapes for a left-handed player by flag, by the neck setting and by the hand', () => {
    const settings = join(cleanEnv(folder.path).XDG_CONFIG_HOME as string, 'barkline', 'settings.yaml');
    mkdirSync(join(settings, '..'), { recursive: true });
    const places = (text: string, ...flags: string[]): string => {
      writeFileSync(settings, text);
      run('export', demo('weir-hands'), '--to', 'pdf', '--force', '-o', 'left.pdf', ...flags);
      return execFileSync('pdftotext', ['-bbox', 'left.pdf', '-'], { cwd: folder.path, encoding: 'utf8' })
        .split('\n')
        .filter((line) => line.includes('<word'))
        .join('\n');
    };
    const usual = places('');
    const left = places('', '--left-handed');
    expect(left).not.toBe(usual);
    expect(places('neck: left-handed\n')).toBe(left);
    expect(places('hand:\n  left-handed: yes\n')).toBe(left);
    expect(places('neck: right-handed\nhand:\n  left-handed: yes\n')).toBe(usual);
    writeFileSync(settings, 'neck: say ceiling\n');
    expect(run('export', demo('weir-hands'), '--to', 'text').stdout).toContain(
      '1 to 4: same frets, one course toward the ceiling; little lifts',
    );
    rmSync(settings);
  });
});

describe.runIf(has('fluidsynth') && existsSync(soundFont))('a synthesizer', () => {
  it('strikes each click of a MIDI file when the timeline says, within 2 ms', () => {
    // Its tune would sound over the clicks.
    writeFileSync(path('bare.yaml'), readFileSync(demo('weir-hands'), 'utf8').split('tune:')[0] ?? '');
    run(
      'export',
      'bare.yaml',
      '--to',
      'midi',
      '--voices',
      'click',
      '--tempo',
      '240',
      '--force',
      '-o',
      'click.mid',
    );
    const file = parseMidi(readFileSync(path('click.mid')));
    const rate = 96_000;
    const off = [
      '-o',
      'synth.reverb.active=0',
      '-o',
      'synth.chorus.active=0',
      '-o',
      'audio.file.format=s16',
      '-o',
      'audio.file.type=raw',
    ];
    execFileSync(
      'fluidsynth',
      [
        '-q',
        '-ni',
        '-r',
        String(rate),
        '-g',
        '1',
        ...off,
        '-F',
        path('click.raw'),
        soundFont,
        path('click.mid'),
      ],
      { stdio: 'pipe' },
    );
    const bytes = readFileSync(path('click.raw'));
    const samples = new Int16Array(
      bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length - (bytes.length % 4)),
    );
    // Stereo: the louder of both. An attack is where it grows loud after a while of being softer.
    const loud = (index: number): number =>
      Math.max(Math.abs(samples[2 * index] ?? 0), Math.abs(samples[2 * index + 1] ?? 0));
    const onsets: number[] = [];
    const count = samples.length / 2;
    const peak = Array.from({ length: count }, (_, index) => index).reduce(
      (most, index) => Math.max(most, loud(index)),
      0,
    );
    let quiet = rate;
    for (let index = 0; index < count; index += 1) {
      if (loud(index) < peak / 40) quiet += 1;
      else {
        if (quiet > rate / 20) onsets.push((1000 * index) / rate);
        quiet = 0;
      }
    }
    const clicks: number[] = [];
    for (const track of file.tracks) {
      let tick = 0;
      for (const event of track) {
        tick += event.deltaTime;
        // 240 a minute, 960 ticks a quarter.
        if (event.type === 'noteOn') clicks.push((tick * 250) / 960);
      }
    }
    expect(onsets).toHaveLength(clicks.length);
    const first = (onsets[0] ?? 0) - (clicks[0] ?? 0);
    const off2 = onsets.map((time, index) => Math.abs(time - first - (clicks[index] ?? 0)));
    expect(Math.max(...off2)).toBeLessThan(2);
  }, 60_000);
});
