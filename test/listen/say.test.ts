import { describe, expect, it } from 'vitest';
import { barList, barRange } from '../../src/listen/bar-list.js';
import { judgePass } from '../../src/listen/judge-pass.js';
import { say } from '../../src/listen/say.js';
import { expecting, song } from './expecting.js';
import { perfectEar, type SimulatedPlayer, simulatedPass } from './simulated-player.mjs';

const { expected } = expecting(song, { bpm: 160 });
const entryAt = (bar: number): number => expected.find((one) => one.bar === bar)?.entry ?? -1;

/** What is said of a player who is even to the ms but for what is given, and was heard without fault. */
function said(player: Partial<SimulatedPlayer>, offset: number | null = 0): string[] {
  const { heard } = simulatedPass(expected, { player: { spread: 0, ...player }, ear: perfectEar });
  return say(judgePass(expected, heard, { level: 'steady', offset }), { bpm: 160 });
}

describe('what is said after a pass', () => {
  it.each([
    ['a steady lead', { mean: -8 }, ['Chops 8 ms ahead of the beat, steady (spread 0 ms)']],
    ['on the beat', { mean: 1 }, ['Chops on the beat, steady (spread 0 ms)']],
    [
      'late changes',
      { lateInto: [2, 10, 16].map((bar) => ({ entry: entryAt(bar), ms: 60 })) },
      ['Late into 4: 60 ms, 3 of 4 times (bars 3, 11, 17)', 'Chops on the beat, steady (spread 0 ms)'],
    ],
    [
      'an old chord that goes on',
      { oldChordAt: [entryAt(6)] },
      [
        'Late into 5 from 1: 1 was still played, 1 of 3 times (bar 7)',
        'Chops on the beat, steady (spread 0 ms)',
      ],
    ],
    [
      'a wrong chord',
      { wrongAt: new Map([[entryAt(6), 'C']]) },
      ['5 was not the chord in bar 7: it sounded like 4', 'Chops on the beat, steady (spread 0 ms)'],
    ],
    [
      'low notes apart from the chops',
      { mean: 10, lowMean: -20 },
      ['Low notes come 30 ms sooner than the chops', 'Chops 10 ms behind the beat, steady (spread 0 ms)'],
    ],
    [
      'a hand that runs',
      { runFrom: 12_000, runBy: -0.025 },
      ['From bar 9 on you run ahead of the beat, by 4 bpm at the end', 'Chops steady (spread 0 ms)'],
    ],
    [
      'bars without a sound',
      { restBars: [8, 9, 10, 11] },
      [
        'Nothing was heard in bars 9–12, so the pass is not judged',
        'Chops on the beat, steady (spread 0 ms)',
      ],
    ],
    [
      'next to nothing',
      { restBars: [...Array(24).keys()] },
      [
        'Not judged: 24 of 120 strokes were heard',
        'Move the microphone nearer, or look at its level in the settings of the system',
      ],
    ],
  ] as [string, Partial<SimulatedPlayer>, string[]][])('%s', (_, player, lines) => {
    expect(said(player)).toStrictEqual(lines);
  });

  it('says nothing of a place on the beat where the offset is not known', () => {
    expect(said({ mean: -8 }, null)).toStrictEqual(['Chops steady (spread 0 ms)']);
  });

  it('says where chops rang on, and which note of them', () => {
    const { heard } = simulatedPass(expected, { player: { spread: 0 }, ear: perfectEar });
    const told = (indices: readonly number[], changes: object): string | undefined => {
      const rang = heard.map((one, index) => (indices.includes(index) ? { ...one, ...changes } : one));
      return say(judgePass(expected, rang, { level: 'steady', offset: 0 }), { bpm: 160 })[0];
    };
    expect(told([9], { ringMs: 290 })).toBe('The chop in bar 3 rang on');
    expect(told([9, 17, 19, 23], { ringMs: 290 })).toBe(
      '4 chops rang on (bars 3, 5, 6): let go of the frets sooner',
    );
    expect(told([9], { ringsOn: 71 })).toBe(
      'The B of the chord rang on behind the chop in bar 3: damp that course too',
    );
    // A low note may ring until the next stroke.
    expect(told([8], { ringMs: 340 })).toBe('Chops on the beat, steady (spread 0 ms)');
  });

  it('has a line where too little was heard of any kind', () => {
    const { heard } = simulatedPass(expected, { player: { spread: 0 }, ear: perfectEar });
    const verdict = judgePass(expected, heard, { level: 'steady', offset: 0 });
    const few = { ...verdict, timing: { low: null, chop: null, up: null } };
    expect(say(few, { bpm: 160 })).toStrictEqual(['Too few strokes were heard to say how even they are']);
  });

  it('has four lines at most, the worst first', () => {
    const lines = said({
      spread: 45,
      wrongAt: new Map([
        [entryAt(6), 'C'],
        [entryAt(2), 'D'],
      ]),
      oldChordAt: [entryAt(10), entryAt(14)],
      ringsOn: 0.4,
    });
    expect(lines).toHaveLength(4);
    expect(lines[0]).toMatch(/was not the chord in bar/);
    expect(
      lines.some((line) => /^Chops .*uneven \(spread \d+ ms; up to 23 is steady here\)$/.test(line)),
    ).toBe(true);
  });

  it('says when somebody else plays', () => {
    const one = simulatedPass(expected, { seed: 1 }).heard;
    const other = simulatedPass(expected, { seed: 2, player: { mean: 160 } }).heard;
    const both = [...one, ...other].sort((first, second) => first.at - second.at);
    const [line] = say(judgePass(expected, both, { level: 'steady', offset: 0 }), { bpm: 160 });
    expect(line).toMatch(
      /^Not judged: \d+ strokes of the pass and \d+ others were heard; somebody else seems to play$/,
    );
  });
});

describe('bars in words', () => {
  it.each([
    [[6], 'bar 7'],
    [[20, 4, 12, 4], 'bars 5, 13, 21'],
    [[0, 1, 2, 3, 4, 5, 6], 'bars 1, 2, 3, 4 and 3 more'],
    [[], 'bar 1'],
  ])('%j: %s', (bars, text) => {
    expect(barList(bars)).toBe(text);
  });
  it('says a range', () => {
    expect([barRange(8, 8), barRange(8, 11)]).toStrictEqual(['bar 9', 'bars 9–12']);
  });
});

describe('single strokes that were not the chord', () => {
  const { heard } = simulatedPass(expected, { player: { spread: 0 }, ear: perfectEar });
  const verdict = judgePass(expected, heard, { level: 'steady', offset: 0 });
  const [chord] = expected.map((one) => one.chord);
  if (!chord) throw new Error('no chord');
  const single = (beat: number, like: string | null) =>
    ({ bar: 4, beat, chord, heard: like, whole: false, strokes: 1, confidence: 0.99 }) as const;
  const lines = (...wrong: readonly ReturnType<typeof single>[]): string[] =>
    say({ ...verdict, wrong }, { bpm: 160 }).filter(
      (line) => line.includes('was not') || line.includes('were not'),
    );

  it('are said by one line, whether or not it is known what each sounded like', () => {
    expect(lines(single(1, 'A7'))).toEqual([
      'One stroke of 1 was not the chord in bar 5: it sounded like A7',
    ]);
    expect(lines(single(1, 'A7'), single(3, null))).toEqual(['2 strokes of 1 were not the chord in bar 5']);
    expect(lines(single(1, 'A7'), single(2, 'A7'), single(3, null))).toEqual([
      '3 strokes of 1 were not the chord in bar 5: they sounded like A7',
    ]);
  });
});
