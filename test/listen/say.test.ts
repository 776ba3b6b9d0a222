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
      'most bars without a sound',
      { restBars: [...Array(24).keys()] },
      ['Nothing was heard in bars 1–24, so the pass is not judged'],
    ],
    [
      'nothing at all',
      { restBars: [...Array(32).keys()] },
      [
        'Not judged: nothing was heard',
        'If you played, move the microphone nearer, or check its level in the system settings',
      ],
    ],
    ['a lag', { mean: 40 }, ['Chops 40 ms behind the beat (up to 19 is no fault), steady (spread 0 ms)']],
    [
      'a lead that is too long by less than is written',
      { mean: -45.25 },
      ['Chops 45.3 ms ahead of the beat (up to 45.0 is no fault), steady (spread 0 ms)'],
    ],
  ] as [string, Partial<SimulatedPlayer>, string[]][])('%s', (_, player, lines) => {
    expect(said(player)).toStrictEqual(lines);
  });

  it('says nothing of a place on the beat where the offset is not known', () => {
    expect(said({ mean: -8 }, null)).toStrictEqual(['Chops steady (spread 0 ms)']);
  });

  it('says that strokes are missing all over', () => {
    const [first, second] = said({ leftOut: 0.5 });
    expect(first).toMatch(/^Not judged: \d+ of 120 strokes were heard$/);
    expect(second).toMatch(/^If you played all, move the microphone nearer/);
  });

  it('knows a player who plays the chops alone, or leaves them out', () => {
    const { heard } = simulatedPass(expected, { player: { spread: 0 }, ear: perfectEar });
    const only = (kind: string): string | undefined =>
      say(
        judgePass(
          expected,
          heard.filter((one) => one.kind === kind),
          { level: 'steady', offset: 0 },
        ),
        { bpm: 160 },
      )[0];
    expect(only('chop')).toBe('Not judged: the low notes were not heard, but everything else was');
    expect(only('low')).toBe('Not judged: the chops were not heard, but everything else was');
  });

  it('never says of what is not steady that it is within the limit', () => {
    const { heard } = simulatedPass(expected, { player: { spread: 12 }, ear: perfectEar });
    const verdict = judgePass(expected, heard, { level: 'steady', offset: 0 });
    const { chop } = verdict.timing;
    if (!chop) throw new Error('no chops');
    const of = (spread: number, outside: number): string | undefined =>
      say(
        {
          ...verdict,
          faults: ['uneven'],
          limits: { ...verdict.limits, spread: 22.5 },
          timing: { low: null, up: null, chop: { ...chop, mean: 0, spread, count: 56, outside } },
        },
        { bpm: 160 },
      )[0];
    expect(of(22.9, 0)).toBe('Chops on the beat, uneven (spread 22.9 ms; up to 22.5 is steady here)');
    expect(of(22.52, 0)).toBe('Chops on the beat, uneven (spread 22.6 ms; up to 22.5 is steady here)');
    expect(of(31, 0)).toBe('Chops on the beat, uneven (spread 31 ms; up to 23 is steady here)');
    expect(of(4, 8)).toBe('Chops on the beat, steady except for 8 of 64, which are far off');
  });

  it('does not blame the player for a microphone that was away', () => {
    const verdict = judgePass(expected, [], { level: 'steady', offset: 0 });
    expect(say({ ...verdict, faults: ['disturbed'] }, { bpm: 160 })).toStrictEqual([
      'Not judged: for some of it there was no microphone, or the sound was too loud or too noisy',
    ]);
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
      'The B of the chord rang on after the chop in bar 3: damp that course too',
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
