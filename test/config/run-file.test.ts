import { mkdtempSync, readdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { keepPedals, recallPedals } from '../../src/config/pedal-file.js';
import { forgetRun, keepRun, recallRun } from '../../src/config/run-file.js';
import { readSettings } from '../../src/config/settings.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'barkline-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const set = '/sets/one.yaml';
const run = {
  songs: [
    { file: '/charts/a.yaml', entry: 0, key: 'A' },
    { file: '/charts/b.yaml', entry: null, key: 'Bm' },
  ],
  at: 1,
};

describe('a run that is kept', () => {
  it('is recalled as it was, and forgotten at its end', () => {
    expect(recallRun(set, folder)).toBeNull();
    expect(keepRun(set, run, folder)).toBeNull();
    expect(recallRun(set, folder)).toEqual(run);
    keepRun(set, { ...run, at: 0 }, folder);
    expect(recallRun(set, folder)?.at).toBe(0);
    expect(readdirSync(join(folder, 'runs'))).toHaveLength(1);
    forgetRun(set, folder);
    expect(recallRun(set, folder)).toBeNull();
    expect(readdirSync(join(folder, 'runs'))).toEqual([]);
  });

  it('is one a set, by the set’s real path', () => {
    const own = join(folder, 'own.yaml');
    writeFileSync(own, '');
    symlinkSync(own, join(folder, 'link.yaml'));
    keepRun(own, run, folder);
    keepRun(set, { ...run, at: 0 }, folder);
    expect(recallRun(join(folder, 'link.yaml'), folder)?.at).toBe(1);
    expect(recallRun(set, folder)?.at).toBe(0);
  });

  it('says so where it cannot be kept', () => {
    writeFileSync(join(folder, 'runs'), '');
    expect(keepRun(set, run, folder)).toContain('nothing can be saved in');
  });

  it.each([
    '',
    'no json',
    '[]',
    '{"file": 3, "songs": [], "at": 0}',
    '{"file": "/s", "songs": [], "at": 0}',
    '{"file": "/s", "songs": [{"file": "/a", "entry": 0, "key": "A"}], "at": 1}',
    '{"file": "/s", "songs": [{"file": "/a", "entry": -1, "key": "A"}], "at": 0}',
    '{"file": "/s", "songs": [{"file": "/a", "entry": 0}], "at": 0}',
  ])('is none where %j is kept', (text) => {
    keepRun(set, run, folder);
    const [name = ''] = readdirSync(join(folder, 'runs'));
    writeFileSync(join(folder, 'runs', name), text);
    expect(recallRun(set, folder)).toBeNull();
  });
});

describe('pedals that were learned', () => {
  it('are kept, and what is not a pedal is passed over', () => {
    const known = [
      { use: 'extend', sign: { kind: 'control', number: 64, channel: 1 }, long: false },
      { use: 'ending', sign: { kind: 'note', number: 60, channel: null }, long: true },
    ] as const;
    keepPedals(known, folder);
    expect(recallPedals(folder)).toEqual(known);
    writeFileSync(
      join(folder, 'pedals.json'),
      '[3, {"use": "fly", "pedal": "note 60"}, {"use": "play", "pedal": "note 200"}, {"use": "play", "pedal": "program 7"}]',
    );
    expect(recallPedals(folder)).toEqual([
      { use: 'play', sign: { kind: 'program', number: 7, channel: null }, long: false },
    ]);
    writeFileSync(join(folder, 'pedals.json'), 'torn');
    expect(recallPedals(folder)).toEqual([]);
  });
});

describe('pedals in the settings', () => {
  const read = (text: string) => {
    writeFileSync(join(folder, 'settings.yaml'), text);
    const { settings, faults } = readSettings(folder);
    return {
      pedals: settings.pedals,
      faults: faults.map((fault) => fault.slice(fault.indexOf('yaml:') + 5)),
    };
  };

  it('are read by what they are for', () => {
    const { pedals, faults } = read(
      'pedals:\n  from: midi:Foot Board\n  extend: control 64\n  next: [note 60, "program 3, channel 2"]\n',
    );
    expect(faults).toEqual([]);
    expect(pedals.from).toEqual({ kind: 'midi', port: 'Foot Board' });
    expect(pedals.known.map(({ use, sign }) => `${use} ${sign.kind} ${sign.number} ${sign.channel}`)).toEqual(
      ['extend control 64 null', 'next note 60 null', 'next program 3 2'],
    );
  });

  it.each([
    ['pedals: control 64\n', '1:9: write each pedal on a line below it: “  extend: control 64”'],
    [
      'pedals:\n  extent: control 64\n',
      '2:3: “extent” is not something a pedal can do; did you mean “extend”?',
    ],
    ['pedals:\n  extend: button 4\n', '2:11: “button 4”: a pedal is “control 64”, “note 60” or “program 5”'],
  ])('at fault are told: %j', (text, told) => {
    expect(read(text).faults[0]).toContain(told);
  });
});
