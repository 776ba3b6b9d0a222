import { describe, expect, it } from 'vitest';
import { unseenChart } from '../../src/shed/unseen.js';
import { degreeOf, resolves } from '../../src/shed/unseen-changes.js';
import { unseenLevels } from '../../src/shed/unseen-levels.js';
import { songLines } from '../../src/shed/unseen-lines.js';
import { numbersAt } from '../../src/shed/unseen-numbers.js';
import { levelRules } from '../../src/shed/unseen-rules.js';
import { type MadeSection, madeSections, tally } from './made-charts.js';
import { tolerance, tuneFigures } from './tune-figures.js';
import { knownForms, shareBounds } from './unseen-bounds.js';

const modes = ['major', 'minor'] as const;
const every = unseenLevels.flatMap((level) => modes.map((mode) => ({ level, mode })));

/** The bars of a section in a line; 5^7 stands for 5, which it may replace. */
function barsText(section: MadeSection): string {
  return `${section.map((bar) => bar.join('.').replaceAll('5^7', '5')).join(' ')} `;
}

describe('the lines that unseen charts are made of', () => {
  it.each(modes)('go on in %s to where their sevenths lead, and have numbers that a level knows', (mode) => {
    const lines = songLines[mode];
    const all = [...lines.setOut, ...lines.away, ...lines.close, ...lines.turnHome, ...lines.twelve.flat()];
    const known = numbersAt('wicked', mode);
    for (const { text, chords } of all) {
      for (const [at, chord] of chords.entries())
        expect(at + 1 === chords.length || resolves(chord, chords[at + 1] as string), text).toBe(true);
      for (const chord of chords) expect(known, text).toContain(chord);
    }
    for (const { text, cells } of [...lines.setOut, ...lines.away, ...lines.close])
      expect(cells.length, text).toBe(4);
  });

  it('know where a chord leads', () => {
    expect(resolves('2^7', '5')).toBe(true);
    expect(resolves('2^7', '5^7')).toBe(true);
    expect(resolves('2^7', '4')).toBe(false);
    expect(resolves('6^7', '2-')).toBe(true);
    expect(resolves('6^7', '5')).toBe(false);
    expect(resolves('3^7', '6-')).toBe(true);
    expect(resolves('1^7', '4')).toBe(true);
    expect(resolves('1^7', '1')).toBe(false);
    expect(degreeOf('b7')).toBe('b7');
    expect(degreeOf('2-^7b5')).toBe('2');
  });
});

describe('what can arise among a thousand unseen charts of a level', () => {
  it.each(knownForms)('$mode: $bars', ({ mode, bars, whole, least }) => {
    for (const level of unseenLevels) {
      const wanted = least[level];
      if (wanted === undefined) continue;
      const having = madeSections(level, mode).filter((sections) =>
        sections.map(barsText).some((text) => (whole ? text === `${bars} ` : text.startsWith(`${bars} `))),
      );
      expect(having.length, level).toBeGreaterThanOrEqual(wanted);
    }
  });

  it('a phrase is held on 1, a section ends by 4 and 1, and one by b7 and 1', () => {
    const ends = (bars: string, level: 'easy' | 'fair') =>
      madeSections(level, 'major').filter((sections) =>
        sections.some((section) => barsText(section).endsWith(` ${bars} `)),
      ).length;
    expect(ends('4 1', 'easy')).toBeGreaterThan(30);
    expect(ends('4 4 1 1', 'easy')).toBeGreaterThan(30);
    expect(ends('b7 1', 'fair')).toBeGreaterThan(10);
    for (const level of ['easy', 'fair', 'hard'] as const) {
      const held = madeSections(level, 'major')
        .flat()
        .filter((section) => barsText(section).includes('1 1 1 1 '));
      expect(held.length, level).toBeGreaterThan(60);
    }
  });

  it('tunes in sixteen bars, each part of four bars played twice', () => {
    const short = madeSections('easy', 'major').filter((sections) =>
      sections.every(({ length }) => length === 4),
    );
    expect(short.length).toBeGreaterThan(10);
  });
});

describe('what cannot arise', () => {
  it.each(every)('$level, $mode: a seventh that does not go on to where it leads', ({ level, mode }) => {
    // A section never ends on a chord that leads elsewhere, so that what comes after it does not matter.
    const astray = madeSections(level, mode)
      .flat()
      .filter((section) =>
        section.flat().some((chord, at, chords) => !resolves(chord, chords[at + 1] ?? '?')),
      );
    expect(astray.map(barsText)).toEqual([]);
  });

  it.each(every)('$level, $mode: a number that the level does not have', ({ level, mode }) => {
    const known = numbersAt(level, mode);
    const found = new Set(madeSections(level, mode).flat(3));
    expect([...found].filter((number) => !known.has(number))).toEqual([]);
    // Each of them does arise.
    expect([...known].filter((number) => !found.has(number))).toEqual([]);
  });

  it.each(unseenLevels)('%s: 1 as a major chord in minor, or the minors of a major key', (level) => {
    const found = new Set(madeSections(level, 'minor').flat(3));
    for (const number of ['1', '1^7', '6-', '2-', '3-']) expect(found).not.toContain(number);
  });

  it.each(every)('$level, $mode: a song that does not begin and end at home', ({ level, mode }) => {
    const home = mode === 'minor' ? '1-' : '1';
    // The verse or first part begins and ends at home; what is left open on 5 goes back to it.
    const away = madeSections(level, mode).filter(
      (sections) =>
        sections[0]?.[0]?.[0] !== home ||
        sections[0]?.at(-1)?.at(-1) !== home ||
        ![home, '5'].includes(sections.at(-1)?.at(-1)?.at(-1) ?? ''),
    );
    expect(away).toEqual([]);
  });

  it.each(every)('$level, $mode: one chord for longer than the level has it', ({ level, mode }) => {
    const longest = madeSections(level, mode)
      .flat()
      .map((section) => {
        let held = 0;
        return section.reduce((most, bar, at) => {
          const same = bar.length === 1 && section[at - 1]?.at(-1) === bar[0];
          held = same ? held + 1 : 1;
          return Math.max(most, held);
        }, 0);
      });
    // A crooked line may hold its last chord for a bar more.
    const more = level === 'wicked' ? 1 : 0;
    expect(Math.max(...longest)).toBeLessThanOrEqual(levelRules[level].longest + more);
  });

  it('a bar of 5 and 5^7, a bar of one chord twice', () => {
    const bars = every.flatMap(({ level, mode }) => madeSections(level, mode).flat(2));
    expect(
      bars.filter((bar) => new Set(bar.map((number) => number.replace('5^7', '5'))).size < bar.length),
    ).toEqual([]);
  });

  it('shared bars and early chords in a waltz', () => {
    const texts = Array.from({ length: 400 }, (_, seed) =>
      unseenChart({ seed, key: { tonic: 'G', mode: 'major' }, level: 'hard', bpm: 150 }),
    );
    const waltzes = texts.filter((text) => text.includes('meter: 3/4'));
    expect(waltzes.length).toBeGreaterThan(20);
    expect(waltzes.filter((text) => /[(']/.test(text))).toEqual([]);
    expect(texts.filter((text) => text.includes('(') && text.includes("'")).length).toBeGreaterThan(20);
  });

  it('easy: two chords in a bar', () => {
    for (const mode of modes)
      expect(
        madeSections('easy', mode)
          .flat(2)
          .filter(({ length }) => length > 1),
      ).toEqual([]);
  });
});

describe('how often numbers come', () => {
  it.each(shareBounds)('$mode: $number is $least to $most hundredths ($reason)', (bound) => {
    for (const level of bound.levels) {
      const share = 100 * tally(madeSections(level, bound.mode).flat()).share(bound.number);
      expect(share, level).toBeGreaterThanOrEqual(bound.least);
      expect(share, level).toBeLessThanOrEqual(bound.most);
    }
  });

  it('changes come quicker the harder the level is', () => {
    for (const mode of modes) {
      const quick = unseenLevels.map((level) => {
        const sections = madeSections(level, mode).flat();
        const changes = sections.flatMap((bars) =>
          bars.flat().filter((chord, at, all) => chord !== all[at - 1]),
        );
        return changes.length / sections.flat().length;
      });
      expect([...quick].sort((one, other) => one - other)).toEqual(quick);
      expect(quick[3] as number).toBeGreaterThan(1.5 * (quick[0] as number));
    }
  });

  it.each(modes)('%s: fair and hard charts are near to a public collection of tunes', (mode) => {
    const figures = tuneFigures[mode];
    for (const level of ['fair', 'hard'] as const) {
      const { share, change } = tally(madeSections(level, mode).flat());
      for (const [number, bars] of Object.entries(figures.numbers))
        expect(Math.abs(100 * (share(number) - bars / figures.bars)), `${level} ${number}`).toBeLessThan(
          tolerance[mode],
        );
      for (const [name, times] of Object.entries(figures.successions))
        expect(Math.abs(100 * (change(name) - times / figures.changes)), `${level} ${name}`).toBeLessThan(
          tolerance[mode],
        );
    }
  });

  it('major: the four commonest changes are the collection’s, and 1, 5, 4 come in that order', () => {
    for (const level of ['fair', 'hard'] as const) {
      const { share, change } = tally(madeSections(level, 'major').flat());
      const names = Object.keys(tuneFigures.major.successions);
      const commonest = [...names].sort((one, other) => change(other) - change(one)).slice(0, 4);
      expect(commonest.sort()).toEqual(names.slice(0, 4).sort());
      expect(share('1')).toBeGreaterThan(share('5'));
      expect(share('5')).toBeGreaterThan(share('4'));
      expect(share('4')).toBeGreaterThan(share('6-'));
    }
  });
});
