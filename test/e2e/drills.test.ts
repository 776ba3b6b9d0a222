import { spawnSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import {
  type Arrival,
  cleanEnv,
  demo,
  freshFolder,
  hanging,
  noteOffs,
  noteOns,
  program,
  settled,
  until,
} from './harness.js';
import type { Screen } from './screen.js';
import { setStage } from './stage.js';

const stage = setStage();
const { fromNow } = stage;

function open(home: string, words: string): Screen {
  return stage.open(100, 30, words, { XDG_STATE_HOME: home, XDG_CONFIG_HOME: home, XDG_DATA_HOME: home });
}

function run(home: string, ...words: string[]) {
  return spawnSync(process.execPath, [program, ...words], { env: cleanEnv(home), encoding: 'utf8' });
}

const voiceOf = ({ bytes }: Arrival): string =>
  ({ 153: 'click', 144: 'low', 145: 'chop', 146: 'bass' })[bytes[0] ?? 0] ?? '?';

const clicksIn = (heard: readonly Arrival[]): readonly Arrival[] =>
  noteOns(heard).filter((one) => voiceOf(one) === 'click');

/** Twice the drill's own tempo: what begins slowly is long to listen to. */
const quicker: readonly string[] = ['%', '2', '0', '0', 'Enter'];

/** Plays what stands on the stand until so many clicks were heard, then pauses it; answers all that was sent, and leaves. */
async function hear(shown: Screen, clicks: number, ms = 30_000): Promise<readonly Arrival[]> {
  const heard = fromNow();
  await shown.press('Space');
  expect(await until(() => clicksIn(heard()).length >= clicks, ms)).toBe(true);
  await shown.press('q');
  await shown.shows('ended 0');
  await settled(heard);
  const all = heard();
  expect(hanging(all)).toEqual([]);
  return all;
}

/**
 * Bars of four beats as they were heard, after a count of one: for each voice the beats on which something begins, to half a
 * beat.
 */
function barsHeard(heard: readonly Arrival[], count: number, bpm: number): string[] {
  // The count gives the place and not the beat: over many bars a millisecond in it would be a beat in the end.
  const beat = 60_000 / bpm;
  // On a busy machine a click is read late, and never early.
  const first = Math.min(
    ...clicksIn(heard)
      .slice(0, 4)
      .map(({ time }, index) => time - index * beat),
  );
  const bars = Array.from({ length: count }, () => new Map<string, Set<number>>());
  for (const one of noteOns(heard)) {
    const halves = Math.round((2 * (one.time - first)) / beat) - 8;
    const bar = bars[Math.floor(halves / 8)];
    if (halves < 0 || !bar) continue;
    const places = bar.get(voiceOf(one)) ?? new Set<number>();
    places.add((halves % 8) / 2);
    bar.set(voiceOf(one), places);
  }
  return bars.map((bar) =>
    [...bar]
      .map(([voice, places]) => `${voice} ${[...places].join(' ')}`)
      .sort()
      .join(', '),
  );
}

/** How long each chop sounded, ms: from its first course to the end of its last. */
function chopLengths(heard: readonly Arrival[]): number[] {
  const chops = noteOns(heard).filter((one) => voiceOf(one) === 'chop');
  return chops.flatMap((on) => {
    const off = noteOffs(heard).find(
      ({ time, bytes }) => time >= on.time && bytes[0] === 0x81 && bytes[1] === on.bytes[1],
    );
    return off ? [off.time - on.time] : [];
  });
}

const full = 'click 0 1 2 3';

describe('what is sent is what the drill says', () => {
  it('six ways: each way of 1, 4 and 5 in turn, two bars a chord, then one', async () => {
    const home = freshFolder();
    const printed = run(home.path, 'shed', 'drill', 'six-ways', '--key', 'A').stdout;
    const written = (section: string): string[] =>
      printed
        .slice(printed.indexOf(`\n  ${section}: |`))
        .split('\n')
        .slice(2, 8)
        .flatMap((line) => line.replace(/".*"/, '').trim().split(' '));
    const tones = { 9: '1', 2: '4', 4: '5' } as Record<number, string>;
    for (const [section, downs] of [
      ['two bars', 0],
      ['one bar', 1],
    ] as const) {
      const shown = open(home.path, 'shed drill six-ways --key A --tempo 400');
      await shown.shows(/six ways between 1, 4 and 5 in A.*ready/);
      await shown.press(...Array.from({ length: downs }, () => 'Down'));
      const heard = await hear(shown, 4 + 4 * 9);
      const clicks = clicksIn(heard).map(({ time }) => time);
      const basses = noteOns(heard).filter((one) => voiceOf(one) === 'bass');
      const roots = Array.from({ length: 8 }, (_, bar) => {
        const start = clicks[4 + 4 * bar] as number;
        const note = basses.find(({ time }) => Math.abs(time - start) < 50)?.bytes[1] ?? -1;
        return tones[note % 12];
      });
      expect(roots).toEqual(written(section).slice(0, 8));
    }
    home.remove();
  });

  it('lift and land: clicks alone, quicker and quicker, soft ones between for the lift', async () => {
    const home = freshFolder();
    const shown = open(home.path, 'shed drill lift');
    await shown.shows(/lift and land in G.*ready/);
    await shown.press('Down', ...quicker);
    await shown.shows('120 ♩');
    const heard = await hear(shown, 4 + 16 + 12);
    expect(new Set(noteOns(heard).map(voiceOf))).toEqual(new Set(['click']));
    const clicks = clicksIn(heard).slice(4);
    expect(clicks.slice(0, 8).map(({ bytes }) => bytes[2])).toEqual([96, 44, 72, 44, 72, 44, 72, 44]);
    const length = (from: number): number => (clicks[from + 8]?.time ?? 0) - (clicks[from]?.time ?? 0);
    // 60 and 72 of the drill, at twice their tempo.
    expect(length(0) / (4 * (60_000 / 120))).toBeCloseTo(1, 1);
    expect((clicks[20]?.time ?? 0) - (clicks[16]?.time ?? 0)).toBeLessThan(
      0.9 * ((clicks[4]?.time ?? 0) - (clicks[0]?.time ?? 0)),
    );
    home.remove();
  });

  it.each([
    ['damped', 6, Array(6).fill(`chop 1 3, ${full}`)],
    ['shape', 6, [...Array(4).fill('click 1 3'), ...Array(2).fill(`chop 1 3, ${full}`)]],
    ['low', 6, Array(6).fill(`chop 1 3, ${full}, low 0 2`)],
    [
      'up',
      6,
      [
        ...Array(4).fill(`chop 1 3, ${full}, low 0 2`),
        ...Array(2).fill(`chop 1 1.5 3 3.5, ${full}, low 0 2`),
      ],
    ],
  ] as const)('the chop, step %s: as it is meant to sound, and it stops', async (step, bars, says) => {
    const home = freshFolder();
    const shown = open(home.path, `shed chop ${step} --key A`);
    await shown.shows(/in A.*60 ♩.*ready/);
    // A damped hand has no shape to be shown.
    expect(shown.text().includes('hidden: h shows it')).toBe(step === 'damped');
    await shown.press(...quicker);
    await shown.shows('240 ♩');
    const heard = await hear(shown, 4 + (step === 'shape' ? 8 + 8 : 24) + 1);
    expect(barsHeard(heard, bars, 240)).toEqual(says);
    const lengths = [...chopLengths(heard)].sort((one, other) => one - other);
    // The middle one: on a busy machine a single message may be read late.
    const middle = lengths[Math.floor(lengths.length / 2)];
    expect(middle).toBeGreaterThan(40);
    expect(middle).toBeLessThan(90);
    expect(lengths.length).toBeGreaterThan(5);
    home.remove();
  });

  it('steady time: less and less click, down to four silent bars', async () => {
    const home = freshFolder();
    const shown = open(home.path, 'shed drill steady --tempo 400');
    await shown.shows(/steady time in G.*ready/);
    // The count, the seven steps, and the first click after the last silence.
    const heard = await hear(shown, 4 + 32 + 16 + 8 + 4 + 24 + 16 + 16 + 1, 60_000);
    expect(new Set(noteOns(heard).map(voiceOf))).toEqual(new Set(['click']));
    const eight = (...pattern: string[]) =>
      Array.from({ length: 8 }, (_, bar) => pattern[bar % pattern.length]);
    // It begins at four fifths of the tempo.
    expect(barsHeard(heard, 56, 320)).toEqual([
      ...eight(full),
      ...eight('click 1 3'),
      ...eight('click 0'),
      ...eight('click 0', ''),
      ...eight(full, full, full, ''),
      ...eight(full, full, '', ''),
      ...eight(full, full, full, full, '', '', '', ''),
    ]);
    home.remove();
  });

  it('the order of the chords: beats go on evenly, and the next chord comes with the next of them', async () => {
    const home = freshFolder();
    const shown = open(home.path, `shed drill ${demo('weir-hands')} order --key G`);
    await shown.shows(/the order of Weir Hands.*G.*ready/);
    // The bass on, so that the chord is heard; slow, so that a beat is long for a key.
    await shown.press('v');
    await shown.shows(/bass .*off/);
    await shown.press('Down', 'Space', 'Escape', '3');
    await shown.shows('76 ♩');
    const heard = fromNow();
    await shown.press('Space');
    // The second beat of the first chord's first bar.
    expect(await until(() => clicksIn(heard()).length >= 6, 15_000)).toBe(true);
    await shown.press('NPage');
    expect(await until(() => clicksIn(heard()).length >= 12, 15_000)).toBe(true);
    await shown.press('q');
    await shown.shows('ended 0');
    await settled(heard);
    const clicks = clicksIn(heard()).slice(4);
    const basses = noteOns(heard()).filter((one) => voiceOf(one) === 'bass');
    // 5 of G is D.
    const changed = basses.find(
      ({ bytes }) => (bytes[1] ?? 0) % 12 === 2 && bytes[1] !== basses[0]?.bytes[1],
    );
    expect((basses[0]?.bytes[1] ?? 0) % 12).toBe(7);
    const beats = clicks.findIndex(({ time }) => Math.abs(time - (changed?.time ?? 0)) < 60);
    // With the third beat, or the fourth where the key came late; not with the next bar.
    expect([2, 3]).toContain(beats);
    const gaps = clicks.slice(1).map(({ time }, at) => time - (clicks[at]?.time ?? 0));
    expect(Math.max(...gaps) / Math.min(...gaps)).toBeLessThan(1.2);
    expect(new Set(clicks.map(({ bytes }) => `${bytes[1]} ${bytes[2]}`)).size).toBe(1);
    home.remove();
  });
});

describe('drills from the command line', () => {
  it('stand in the key that was chosen for the chart on the stand, unless another is named', async () => {
    const home = freshFolder();
    const shown = open(home.path, `play ${demo('weir-hands')}`);
    await shown.shows('ready');
    // Played, so that a sitting begins with it.
    await shown.press('>', 'Space');
    await shown.shows('pass 1');
    await shown.press('q');
    await shown.shows('ended 0');
    const keyOf = (...words: string[]): string | undefined =>
      /^key: (.*)$/m.exec(run(home.path, 'shed', 'drill', demo('weir-hands'), ...words).stdout)?.[1];
    expect(keyOf('pair')).toBe('C');
    expect(keyOf('six-ways')).toBe('C');
    expect(keyOf('--chords', '1,6-')).toBe('C');
    expect(keyOf('pair', '--key', 'E')).toBe('E');
    // Somebody who has walked the path practises with charts.
    run(home.path, 'shed', 'path', '--start', 'end');
    const { items } = JSON.parse(run(home.path, 'shed', 'today', '--minutes', '20', '--json').stdout) as {
      items: readonly { readonly title: string; readonly key: string }[];
    };
    const keys = items.filter(({ title }) => title?.includes('Weir Hands')).map(({ key }) => key);
    expect(keys.length).toBeGreaterThan(0);
    expect(new Set(keys)).toEqual(new Set(['C']));
    home.remove();
  });

  it('the chop has a page of its own', () => {
    const home = freshFolder();
    const page = run(home.path, 'shed', 'chop');
    expect(page.status).toBe(0);
    expect(page.stdout).toContain('How to hear that it is right');
    const wrong = run(home.path, 'shed', 'chop', 'lo');
    expect(wrong.status).toBe(2);
    expect(wrong.stderr).toContain('did you mean “low”');
    expect(run(home.path, 'shed', 'chop', 'up', '--key', 'H').status).toBe(2);
    home.remove();
  });
});
