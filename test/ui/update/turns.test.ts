import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Action } from '../../../src/ui/keys/actions.js';
import { Evening, songsOf, type Written } from '../evening.js';
import { onStand } from '../model.js';

/** One song, playing: what is pressed so many seconds after its first click, and what was played of it. */
function song(written: Written, ...pressed: readonly (readonly [at: number, action: Action])[]) {
  const evening = new Evening(songsOf([{ countIn: 1, ...written }]));
  evening.wait(5);
  let last = 0;
  for (const [at, action] of pressed) {
    evening.wait(at - last);
    evening.press(action);
    last = at;
  }
  evening.until(({ run }) => run.phase === 'over', 1000);
  const accents = evening.output.ons.filter(({ status, note }) => status === 0x99 && note === 76);
  return { evening, bars: accents.length - 1, seconds: (evening.seconds - 5).toFixed(1) };
}

/** The bass notes, a letter a bar: what is played when, whatever the screen says. */
function roots({ output }: Evening, barMs: number): string {
  const bass = output.ons.filter(({ status }) => status === 0x92);
  const first = bass[0]?.time ?? 0;
  const bars: string[] = [];
  for (const { time, note } of bass) {
    const bar = Math.round((time - first) / barMs);
    if (Math.abs((time - first) / barMs - bar) < 0.02)
      bars[bar] = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'][note % 12] ?? '?';
  }
  return bars.join(' ');
}

// Weir Hands at 240 has bars of one second: a bar of count-in, then kickoff (bars 1 to 4 of the pass: 1 1 5 1), then seven
// times eight bars (1 1 4 4 1 1 5 1). In A, 1 is A, 4 is D, 5 is E.
const weir: Written = { name: 'weir-hands', key: 'A', tempo: { bpm: 240, count: 'quarter' } };
const eight = 'A A D D A A E A';

describe('once more through a section', () => {
  it('adds its bars when it is over', () => {
    expect(song(weir).bars).toBe(60);
    const { bars, evening } = song(weir, [6, 'extend']);
    expect(bars).toBe(68);
    expect(roots(evening, 1000).startsWith(`A A E A ${eight} ${eight} ${eight}`)).toBe(true);
  });

  it('said again adds them again', () => {
    expect(song(weir, [6, 'extend'], [7, 'extend'], [8, 'extend']).bars).toBe(84);
  });

  it('can be said in the time through that was added', () => {
    expect(song(weir, [6, 'extend'], [15, 'extend']).bars).toBe(76);
    expect(song(weir, [6, 'extend'], [7, 'extend'], [15, 'extend']).bars).toBe(84);
  });

  it('goes for the last section too: the song ends later', () => {
    expect(song(weir, [55, 'extend']).bars).toBe(68);
  });

  it('goes for the section that comes first, while it is counted in', () => {
    expect(song(weir, [0.3, 'extend']).bars).toBe(64);
  });

  it('stays when the tempo is changed after it', () => {
    const { bars } = song(weir, [6, 'extend'], [7, 'faster'], [8, 'slower']);
    expect(bars).toBe(68);
  });

  it('has what a last pass has to itself in the last pass only', () => {
    const twice: Written = { name: 'tollhouse-kettle', passes: 2 };
    const plain = song(twice);
    expect(song(twice, [3, 'extend']).bars).toBe(plain.bars + 4);
  });
});

describe('to the ending', () => {
  it('goes to the last section when the one that is played is over', () => {
    const { bars, evening } = song(weir, [6, 'ending']);
    expect(bars).toBe(4 + 8 + 8);
    expect(roots(evening, 1000)).toBe(`A A E A ${eight} ${eight}`);
  });

  it('said again is taken back', () => {
    expect(song(weir, [6, 'ending'], [8, 'ending']).bars).toBe(60);
  });

  it('takes the place of once more, and once more that of the ending', () => {
    expect(song(weir, [6, 'extend'], [7, 'ending']).bars).toBe(20);
    expect(song(weir, [6, 'ending'], [7, 'extend']).bars).toBe(68);
  });

  it('cuts the passes that are left', () => {
    expect(song({ ...weir, passes: 3 }, [6, 'ending']).bars).toBe(20);
    expect(song({ ...weir, passes: 3 }, [55, 'ending']).bars).toBe(60);
  });

  it('changes nothing in the last section', () => {
    expect(song(weir, [55, 'ending']).bars).toBe(60);
    expect(song(weir, [60.5, 'ending']).bars).toBe(60);
  });
});

describe('a pass more', () => {
  it('is played after the last one', () => {
    expect(song(weir, [6, 'one-pass-more']).bars).toBe(120);
    expect(song(weir, [6, 'one-pass-more'], [6.5, 'one-pass-more']).bars).toBe(180);
  });
});

describe('a chord that is held', () => {
  it('goes on bar by bar until it is let go, then the song goes on after it', () => {
    // In the first bar of the V, an A; let go five bars later.
    const { evening, bars } = song(weir, [5.5, 'hold'], [10.5, 'hold']);
    expect(bars).toBe(65);
    expect(roots(evening, 1000).startsWith(`A A E A A A A A A ${eight}`)).toBe(true);
  });

  it('within a bar is left where the chord ends, so that bar lines stay where they are', () => {
    // Nine Barges has bars of two chords; whatever is held, whole bars are added.
    const barges: Written = { name: 'nine-barges-late', tempo: { bpm: 240, count: 'quarter' } };
    const plain = song(barges);
    for (const at of [10.2, 13.7, 17.1, 20.6, 24.9]) {
      const { bars } = song(barges, [at, 'hold'], [at + 3.3, 'hold']);
      expect(bars - plain.bars).toBeGreaterThanOrEqual(3);
      expect(bars - plain.bars).toBeLessThanOrEqual(4);
    }
  });

  it('can be the last', () => {
    expect(song(weir, [60.5, 'hold'], [63.5, 'hold']).bars).toBeGreaterThanOrEqual(62);
  });

  it('stays the same bar and pass on the stand', () => {
    const evening = new Evening(songsOf([weir]));
    evening.wait(5 + 5.5);
    evening.press('hold');
    const seen = new Set<string>();
    for (let look = 0; look < 40; look += 1) {
      evening.wait(0.25);
      const { cursor } = onStand(evening.model) ?? {};
      seen.add(`${cursor?.bar} ${cursor?.pass}`);
    }
    expect([...seen]).toEqual(['4 1']);
  });
});

describe('whatever is pressed while a song is played', () => {
  it('nothing hangs, whole bars are played, and it comes to its end', () => {
    const action = fc.constantFrom<Action>(
      'extend',
      'ending',
      'hold',
      'one-pass-more',
      'faster',
      'slower',
      'key-up',
      'song-again',
      'mark-later',
    );
    const presses = fc.array(fc.tuple(fc.integer({ min: 0, max: 30_000 }), action), { maxLength: 8 });
    fc.assert(
      fc.property(
        presses,
        fc.constantFrom('weir-hands', 'nine-barges-late', 'tollhouse-kettle'),
        (made, name) => {
          const evening = new Evening(
            songsOf([
              { name, gap: 1 },
              { name: 'tollhouse-kettle', gap: 1 },
            ]),
          );
          const sorted = [...made].sort(([one], [other]) => one - other);
          for (const [at, pressed] of sorted) {
            evening.wait(Math.max(0, 1 + at / 1000 - evening.seconds));
            evening.press(pressed);
          }
          if (onStand(evening.model)?.vamp?.until === null) evening.press('hold');
          // Somebody who turned the cards begins again by hand.
          evening.until(
            ({ run }) => run.phase === 'over' || (run.phase === 'card' && run.until === null),
            3000,
          );
          if (evening.run.phase === 'card') evening.press('go-on');
          evening.until(({ run }) => run.phase === 'over', 3000);
          expect(evening.output.hanging()).toEqual([]);
          expect(evening.run.played.length).toBeGreaterThanOrEqual(2);
        },
      ),
      { numRuns: 40 },
    );
  });
});
