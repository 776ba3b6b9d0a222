import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Candidate } from '../../src/hand/candidate.js';
import { candidatesFor } from '../../src/hand/candidates.js';
import { type ChordChange, plainName } from '../../src/hand/changes.js';
import { type Fingering, fingersText, fretsText } from '../../src/hand/fingering.js';
import { fittingTempo, hardChanges, hardness } from '../../src/hand/hard-changes.js';
import { homesOf } from '../../src/hand/home.js';
import { mandolin } from '../../src/hand/instrument.js';
import { motion } from '../../src/hand/motion.js';
import {
  type HandPlan,
  leavesSongShape,
  type PlannedChange,
  type PlanOptions,
  planHand,
  usualPlan,
} from '../../src/hand/plan.js';
import { usualHand } from '../../src/hand/player-hand.js';
import { prompt } from '../../src/hand/prompt.js';
import { changes } from './charts.js';

describe('planHand', () => {
  const frets = (numbers: string, tonic: string): string[] =>
    planHand(changes(numbers, tonic), mandolin).changes.map((one) =>
      one.fingering ? `${fretsText(one.fingering.frets)} ${fingersText(one.fingering.fingers)}` : 'none',
    );

  it.each([
    ['1 4', 'G', ['7-5-2-3 4-3-1-2', '5-2-3-x 3-1-2-x']],
    ['1 4', 'B', ['11-9-6-7 4-3-1-2', '9-6-7-x 3-1-2-x']],
    ['1 5', 'G', ['7-5-2-3 4-3-1-2', '7-4-5-x 4-2-3-x']],
    ['1 4 5', 'D', ['7-4-5-x 3-1-2-x', '7-5-2-3 4-3-1-2', '9-7-4-5 4-3-1-2']],
  ])('plays %s of %s the usual way', (numbers, tonic, expected) => {
    expect(frets(numbers, tonic)).toStrictEqual(expected);
  });

  it('keeps its glances when the four-finger family moves up the neck', () => {
    const glances = (tonic: string): (string | null)[] =>
      planHand(changes('1 4 1 5', tonic), mandolin).changes.map(
        (one) => one.motion && prompt(one.motion).glance,
      );
    for (const tonic of ['Ab', 'A', 'Bb', 'B']) expect(glances(tonic)).toStrictEqual(glances('G'));
  });

  it('comes to the first chord from the last', () => {
    const plan = planHand(changes('1 4 5', 'A'), mandolin);
    plan.changes.forEach((one, index) => {
      const before = plan.changes[(index + 2) % 3];
      expect(one.motion?.from).toBe(before?.fingering);
      expect(one.motion?.to).toBe(one.fingering);
    });
  });

  it('in C offers F with an open course beside the closed ones, and takes it only when strings may ring', () => {
    const offered = (open: boolean) => {
      const four = planHand(changes('1 4 1 5', 'C'), mandolin, { open }).changes[1];
      return {
        chosen: fretsText(four?.fingering?.frets ?? []),
        isOpen: four?.fingering?.frets.some((at) => at === 0),
        others: four?.alternatives.map((one) => `${fretsText(one.fingering.frets)} ${one.fingering.remark}`),
      };
    };
    expect(offered(false)).toMatchObject({ chosen: '5-3-3-5', isOpen: false });
    expect(offered(false).others).toContain('5-3-0-1 with an open course');
    expect(offered(true).isOpen).toBe(true);
  });

  it('never takes what is only offered, whatever is to be least', () => {
    for (const least of ['total', 'hardest'] as const)
      for (const hold of ['steady', 'free'] as const)
        for (const one of planHand(changes('1 4 1 5 6- 2', 'C'), mandolin, { least, hold }).changes)
          expect(one.fingering?.frets.some((at) => at === 0)).toBe(false);
  });

  it('has no motion for a chord alone', () => {
    const plan = planHand(changes('1', 'G'), mandolin);
    expect(plan.changes[0]?.motion).toBeNull();
    expect(plan.totalMs).toBe(0);
    expect(plan.changes[0]?.fingering).not.toBeNull();
  });

  it('passes over a chord of which nothing lies where the hand may go, and comes from the one before it', () => {
    // No tone of D♭ lies on the first two frets but for its fifth and third.
    const plan = planHand(changes('1 b5 4', 'G'), mandolin, { highestFret: 3, voicings: 'any' });
    expect(plan.changes[1]).toMatchObject({ fingering: null, motion: null, alternatives: [] });
    expect(plan.changes[2]?.motion?.from).toBe(plan.changes[0]?.fingering);
    expect(planHand([], mandolin)).toStrictEqual({ instrument: mandolin, changes: [], totalMs: 0 });
  });

  it('gives a hand that reaches no second fret the root and what lies with it, never nothing', () => {
    const still = { '12': 0, '13': 0, '14': 0, '23': 0, '24': 0, '34': 0 };
    const plan = planHand(changes('1 4 5', 'G'), mandolin, { hand: { ...usualHand, spans: still } });
    for (const { fingering } of plan.changes) expect(fingering?.remark).toMatch(/^reduced to (one|two) /);
  });

  it('is never bettered by another way for one chord, and adds up its motions', () => {
    const numbers = fc.array(fc.constantFrom('1', '2-', '4', '5', '5^7', '6-', 'b7', '2'), {
      minLength: 1,
      maxLength: 8,
    });
    fc.assert(
      fc.property(numbers, fc.constantFrom('C', 'Db', 'D', 'E', 'F#', 'G', 'Bb'), (list, tonic) => {
        const plan = planHand(changes(list.join(' '), tonic), mandolin);
        expect(plan.totalMs).toBe(plan.changes.reduce((sum, one) => sum + (one.motion?.ms ?? 0), 0));
        const place = { wish: 'low', homes: homesOf(plan.changes, mandolin) } as const;
        for (const { chord, fingering: chosen, alternatives } of plan.changes) {
          const free = new Set(
            candidatesFor(chord, mandolin, { ...usualPlan, place }).flatMap((one) =>
              one.onlyOffered ? [] : [fretsText(one.fingering.frets)],
            ),
          );
          const more = alternatives.map((one) => one.moreMs);
          expect(more).toStrictEqual([...more].sort((one, other) => one - other));
          // What is only offered may well be easier.
          const choosable = alternatives.filter(({ fingering }) => free.has(fretsText(fingering.frets)));
          expect(choosable.filter((one) => one.moreMs < 0)).toStrictEqual([]);
          expect(alternatives.map((one) => one.fingering)).not.toContain(chosen);
        }
      }),
    );
  });
});

/** What a plan's own choice costs: motions and efforts, for comparing with every other choice. */
function costOf(plan: HandPlan, options: PlanOptions): { total: number; hardest: number } {
  const place = { wish: options.home, homes: homesOf(plan.changes, mandolin) };
  const own = plan.changes.reduce((sum, change) => {
    const candidate = candidatesFor(change.chord, mandolin, { ...options, place }).find(
      (one) =>
        one.fingering.frets.join() === change.fingering?.frets.join() &&
        one.fingering.fingers.join() === change.fingering?.fingers.join(),
    );
    if (!candidate) throw new Error('the plan chose what is not a candidate');
    return sum + candidate.own;
  }, 0);
  return {
    total: plan.totalMs + own + (options.hold === 'free' ? 0 : leavingMs(plan.changes)),
    hardest: Math.max(0, ...plan.changes.map((change) => change.motion?.ms ?? 0)),
  };
}

/** What chords cost that have another fingering in some section than in most of the song. */
function leavingMs(list: readonly Pick<PlannedChange, 'chord' | 'fingering'>[]): number {
  const counts = new Map<string, Map<string, number>>();
  for (const { chord, fingering } of list) {
    const shapes = counts.get(plainName(chord)) ?? new Map<string, number>();
    counts.set(plainName(chord), shapes);
    const shape = `${fretsText(fingering?.frets ?? [])} ${fingersText(fingering?.fingers ?? [])}`;
    shapes.set(shape, (shapes.get(shape) ?? 0) + 1);
  }
  return [...counts.values()].reduce((sum, shapes) => {
    const times = [...shapes.values()];
    return sum + leavesSongShape * (times.reduce((all, one) => all + one, 0) - Math.max(...times));
  }, 0);
}

/** One section after the other, each with its own numbers. */
function sections(list: readonly string[], tonic: string): readonly ChordChange[] {
  return list.flatMap((numbers, section) =>
    changes(numbers, tonic).map((change) => ({ ...change, section: String(section) })),
  );
}

/** The least there is by trying everything: total, and of those with the easiest hardest step the least total. */
function bruteForce(
  list: readonly ChordChange[],
  options: PlanOptions,
): { total: number; hardest: number; totalWithHardest: number } {
  const names = list.map((change, index) =>
    options.hold === 'free' ? String(index) : `${change.section} ${plainName(change.chord)}`,
  );
  const variables = [...new Set(names)];
  const domains = variables.map((name) =>
    candidatesFor((list[names.indexOf(name)] as (typeof list)[number]).chord, mandolin, {
      ...options,
      place: { wish: options.home, homes: homesOf(list, mandolin) },
    }).filter((one) => !one.onlyOffered),
  );
  let best = {
    total: Number.POSITIVE_INFINITY,
    hardest: Number.POSITIVE_INFINITY,
    totalWithHardest: Number.POSITIVE_INFINITY,
  };
  const known = new Map<Fingering, Map<Fingering, number>>();
  const ms = (from: Fingering, to: Fingering): number => {
    const row = known.get(from) ?? new Map<Fingering, number>();
    known.set(from, row);
    const found = row.get(to) ?? motion(from, to, mandolin).ms;
    row.set(to, found);
    return found;
  };
  const choose = (chosen: number[]): void => {
    if (chosen.length < variables.length) {
      for (const candidate of (domains[chosen.length] as readonly unknown[]).keys())
        choose([...chosen, candidate]);
      return;
    }
    const path = names.map((name) => {
      const variable = variables.indexOf(name);
      return (domains[variable] as ReturnType<typeof candidatesFor>)[
        chosen[variable] as number
      ] as ReturnType<typeof candidatesFor>[number];
    });
    const steps = path.map((one, index) =>
      ms((path[(index + path.length - 1) % path.length] as typeof one).fingering, one.fingering),
    );
    const leaving =
      options.hold === 'free'
        ? 0
        : leavingMs(
            list.map(({ chord }, index) => ({ chord, fingering: (path[index] as Candidate).fingering })),
          );
    const total =
      leaving + steps.reduce((sum, one) => sum + one, 0) + path.reduce((sum, one) => sum + one.own, 0);
    const hardest = Math.max(0, ...steps);
    best = {
      total: Math.min(best.total, total),
      hardest: Math.min(best.hardest, hardest),
      totalWithHardest:
        hardest < best.hardest
          ? total
          : hardest === best.hardest
            ? Math.min(best.totalWithHardest, total)
            : best.totalWithHardest,
    };
  };
  choose([]);
  return best;
}

describe('a plan against trying everything', () => {
  const numbers = fc
    .tuple(
      fc.constantFrom('1', '4', '5', '6-', '2'),
      fc.constantFrom('1', '4', '5', '6-', 'b7'),
      fc.constantFrom('4', '5', '5^7', '2-'),
      fc.constantFrom('1', '4', '5'),
    )
    .map((list) => list.filter((one, index) => one !== list[(index + 1) % list.length]).join(' '))
    .filter((text) => text.split(' ').length > 1);

  it.each([
    ['steady', 'total'],
    ['steady', 'hardest'],
    ['free', 'total'],
    ['free', 'hardest'],
  ] as const)('%s, least %s: costs the same', (hold, least) => {
    fc.assert(
      fc.property(numbers, fc.constantFrom('A', 'Bb', 'D', 'F#'), (list, tonic) => {
        const options: PlanOptions = { ...usualPlan, hold, least, highestFret: 10 };
        const found = costOf(planHand(changes(list, tonic), mandolin, options), options);
        const best = bruteForce(changes(list, tonic), options);
        if (least === 'total') expect(found.total).toBe(best.total);
        else expect([found.hardest, found.total]).toEqual([best.hardest, best.totalWithHardest]);
      }),
      { numRuns: 40 },
    );
  });

  it.each(['total', 'hardest'] as const)('a song of two sections, least %s: costs the same', (least) => {
    const two = fc
      .tuple(fc.constantFrom('1 4', '1 5^7', '6- 4'), fc.constantFrom('1 5', '4 5', '2- 1', '5^7 4', 'b7 1'))
      .map((list) => [...list]);
    fc.assert(
      fc.property(two, fc.constantFrom('A', 'Bb', 'D', 'E', 'F#'), (list, tonic) => {
        const options: PlanOptions = { ...usualPlan, least, highestFret: 10 };
        const found = costOf(planHand(sections(list, tonic), mandolin, options), options);
        const best = bruteForce(sections(list, tonic), options);
        if (least === 'total') expect(found.total).toBe(best.total);
        else expect([found.hardest, found.total]).toEqual([best.hardest, best.totalWithHardest]);
      }),
      { numRuns: 40 },
    );
  });

  it('the easiest hardest step is never harder than that of the least sum', () => {
    for (const tonic of ['G', 'A', 'C', 'Eb', 'B']) {
      const list = changes('1 6- 4 5 2^7 5 1 b7', tonic);
      const hardest = (options: Partial<PlanOptions>): number =>
        Math.max(...planHand(list, mandolin, options).changes.map((change) => change.motion?.ms ?? 0));
      expect(hardest({ least: 'hardest' })).toBeLessThanOrEqual(hardest({ least: 'total' }));
    }
  });
});

describe('the plan of 1 1 4 4 1 1 5 1 in all twelve keys', () => {
  // Common practice among players. With the 1 in the four-finger shape, the 4 is played in the three-finger shape without a shift,
  // and the little finger is held over into the 5. With the 1 in the three-finger shape, 4 and 5 are both the four-finger shape: for
  // the 4 the hand goes two frets toward the nut, for the 5 two toward the bridge. In C there are no two frets left for that 4, so
  // that one finger across two courses takes its place.
  const fourFinger = ['4312', '312x', '423x'];
  const threeFinger = ['312x', '4312', '4312'];
  it.each([
    ['G', ['7-5-2-3', '5-2-3-x', '7-4-5-x'], fourFinger],
    ['Ab', ['8-6-3-4', '6-3-4-x', '8-5-6-x'], fourFinger],
    ['A', ['9-7-4-5', '7-4-5-x', '9-6-7-x'], fourFinger],
    ['Bb', ['10-8-5-6', '8-5-6-x', '10-7-8-x'], fourFinger],
    ['B', ['11-9-6-7', '9-6-7-x', '11-8-9-x'], fourFinger],
    ['C', ['5-2-3-x', '5-3-3-5', '7-5-2-3'], ['312x', '3114', '4312']],
    ['Db', ['6-3-4-x', '6-4-1-2', '8-6-3-4'], threeFinger],
    ['D', ['7-4-5-x', '7-5-2-3', '9-7-4-5'], threeFinger],
    ['Eb', ['8-5-6-x', '8-6-3-4', '10-8-5-6'], threeFinger],
    ['E', ['9-6-7-x', '9-7-4-5', '11-9-6-7'], threeFinger],
    ['F', ['10-7-8-x', '10-8-5-6', '12-10-7-8'], threeFinger],
    // Low on the neck, where the 4 lies whole at 4-1-2: the four-finger family again.
    ['F#', ['6-4-1-2', '4-1-2-x', '6-3-4-x'], fourFinger],
  ])('%s', (tonic, frets, fingers) => {
    const plan = planHand(changes('1 4 1 5 1', tonic), mandolin);
    const at = (index: number): string =>
      `${fretsText(plan.changes[index]?.fingering?.frets ?? [])} ${plan.changes[index]?.fingering?.fingers.map((one) => one ?? 'x').join('')}`;
    expect([at(0), at(1), at(3)]).toEqual(frets.map((text, index) => `${text} ${fingers[index]}`));
  });

  it('offers the slide, ring-index-middle, beside the planted 5', () => {
    const five = planHand(changes('1 4 1 5 1', 'Ab'), mandolin).changes[3];
    expect(
      five?.alternatives.map(
        ({ fingering }) =>
          `${fretsText(fingering.frets)} ${fingering.fingers.map((one) => one ?? 'x').join('')}`,
      ),
    ).toContain('8-5-6-x 312x');
  });
});

describe('what a plan can be told', () => {
  const shapes = (options: Partial<PlanOptions>, numbers = '1 4 1 5', tonic = 'A'): string[] =>
    planHand(changes(numbers, tonic), mandolin, options).changes.map((change) =>
      fretsText(change.fingering?.frets ?? []),
    );

  it('a shape to start from', () => {
    expect(shapes({ start: '12-10-7-8' }, '1 4 5', 'C')[0]).toBe('12-10-7-8');
    expect(shapes({ start: '5-2-3-x' }, '1 4 5', 'C')[0]).toBe('5-2-3-x');
  });

  it('a finger to do without', () => {
    const plan = planHand(changes('1 4 1 5', 'A'), mandolin, { hand: { ...usualHand, without: [4] } });
    for (const change of plan.changes) expect(change.fingering?.fingers).not.toContain(4);
  });

  it('frets to keep within', () => {
    for (const text of shapes({ highestFret: 7 }))
      for (const at of text.split('-')) expect(at === 'x' || Number(at) <= 7).toBe(true);
  });

  it('everything there is, which never costs more than the stock shapes', () => {
    for (const tonic of ['A', 'C', 'E']) {
      const any = costOf(planHand(changes('1 4 1 5', tonic), mandolin, { voicings: 'any' }), {
        ...usualPlan,
        voicings: 'any',
      });
      const stock = costOf(planHand(changes('1 4 1 5', tonic), mandolin), usualPlan);
      expect(any.total).toBeLessThanOrEqual(stock.total);
    }
  });

  it('a quality without stock shapes comes from the enumeration, and says what it leaves out', () => {
    const change = planHand(changes('1 4^maj7 5', 'G'), mandolin).changes[1];
    expect(change?.fingering?.shape).toBeNull();
    expect(change?.fingering?.frets.filter((at) => at !== null).length).toBeGreaterThanOrEqual(3);
  });
});

describe('hardChanges', () => {
  it('lists each change once, slowest first, with how often it comes', () => {
    const hardest = hardChanges(planHand(changes('1 4 1 5', 'A'), mandolin));
    expect(hardest.map((one) => one.ms)).toEqual(
      [...hardest.map((one) => one.ms)].sort((one, other) => other - one),
    );
    expect(hardest.reduce((sum, one) => sum + one.times, 0)).toBe(4);
    expect(new Set(hardest.map((one) => `${one.from.chord.root} ${one.to.chord.root}`)).size).toBe(
      hardest.length,
    );
  });
});

describe('picks', () => {
  const plan = (picks: PlanOptions['picks']): string[] =>
    planHand(changes('1 4 1 5', 'G'), mandolin, { picks }).changes.map((one) =>
      one.fingering ? `${fretsText(one.fingering.frets)} ${fingersText(one.fingering.fingers)}` : 'none',
    );
  const pick = { section: '0', chord: 'C', frets: '5-2-3-x', fingers: '3-1-2-x' };

  it('are what the plan goes round, in their section and for their chord only', () => {
    const others = planHand(changes('1 4 1 5', 'G'), mandolin).changes[1]?.alternatives ?? [];
    expect(others.length).toBeGreaterThan(1);
    for (const { fingering } of others) {
      const chosen = { ...pick, frets: fretsText(fingering.frets), fingers: fingersText(fingering.fingers) };
      expect(plan([chosen])[1]).toBe(`${chosen.frets} ${chosen.fingers}`);
      expect(plan([{ ...chosen, section: '1' }])).toStrictEqual(plan([]));
      expect(plan([{ ...chosen, chord: 'D' }])).toStrictEqual(plan([]));
    }
  });

  it('cost what the plan said they would when nothing else moves', () => {
    const before = planHand(changes('1 4', 'G'), mandolin);
    for (const { fingering, moreMs } of before.changes[1]?.alternatives ?? []) {
      const chosen = { ...pick, frets: fretsText(fingering.frets), fingers: fingersText(fingering.fingers) };
      const after = planHand(changes('1 4', 'G'), mandolin, {
        picks: [chosen, { section: '0', chord: 'G', frets: '7-5-2-3', fingers: '4-3-1-2' }],
      });
      const motions = after.totalMs - before.totalMs;
      // What a fingering costs by itself is not in the sum of the motions.
      expect(motions).toBeLessThanOrEqual(moreMs);
    }
  });

  it('that the hand cannot hold are passed over', () => {
    expect(plan([{ ...pick, frets: '1-2-3-4' }])).toStrictEqual(plan([]));
  });
});

describe('a chord that comes in several sections', () => {
  const shapeOf = ({ fingering }: Pick<HandPlan['changes'][number], 'fingering'>): string =>
    fingering ? `${fretsText(fingering.frets)} ${fingersText(fingering.fingers)}` : 'none';

  it('leaves the fingering of the song only where that saves its price', () => {
    const [verse, bridge] = ['1 5 1 5', '2 5'];
    // A song in which the 5 would have other fingers in each section, were it not one song.
    const alone = [verse, bridge].map((numbers) => planHand(changes(numbers, 'G'), mandolin));
    expect(shapeOf(alone[0]?.changes[1] as never)).not.toBe(shapeOf(alone[1]?.changes[1] as never));
    const song = planHand(sections([verse, bridge], 'G'), mandolin);
    expect(shapeOf(song.changes[5] as never)).toBe(shapeOf(song.changes[1] as never));
  });

  it('has in its section what was picked for it there', () => {
    const list = sections(['1 4 1 5', '1 4 1 5'], 'G');
    for (const { fingering } of planHand(list, mandolin).changes[1]?.alternatives ?? []) {
      const frets = fretsText(fingering.frets);
      const fingers = fingersText(fingering.fingers);
      const plan = planHand(list, mandolin, { picks: [{ section: '1', chord: 'C', frets, fingers }] });
      expect(shapeOf(plan.changes[5] as never)).toBe(`${frets} ${fingers}`);
    }
  });

  it('says of each other way what the whole would cost more by it, leaving the song included', () => {
    const list = sections(['1 4 5', '1 4 5'], 'A');
    const plan = planHand(list, mandolin);
    const all = (picked: ReadonlyMap<number, string>) =>
      planHand(list, mandolin, {
        picks: plan.changes.map((change, index) => {
          const [frets, fingers] = (picked.get(index) ?? shapeOf(change)).split(' ') as [string, string];
          return { section: change.section, chord: change.chord.root, frets, fingers };
        }),
      });
    const base = costOf(all(new Map()), usualPlan).total;
    plan.changes.forEach(({ alternatives }, index) => {
      for (const { fingering, moreMs } of alternatives.filter(
        (one) => !one.fingering.frets.includes(0 as never),
      ))
        expect(costOf(all(new Map([[index, shapeOf({ fingering })]])), usualPlan).total - base).toBe(moreMs);
    });
  });

  it('free, is taken each time as is least', () => {
    const list = sections(['1 5^7', 'b7 5^7'], 'E');
    const flat = list.map((change) => ({ ...change, section: '0' }));
    expect(planHand(list, mandolin, { hold: 'free' }).changes.map(shapeOf)).toStrictEqual(
      planHand(flat, mandolin, { hold: 'free' }).changes.map(shapeOf),
    );
  });
});

describe('hardness', () => {
  it('marks the few slowest changes of a pass, alike wherever they come, and none where all are alike', () => {
    const marked = (numbers: string, tonic: string): boolean[] =>
      hardness(planHand(changes(numbers, tonic), mandolin)).map((one) => one.marked);
    expect(marked('1 4', 'G')).toStrictEqual([false, false]);
    expect(marked('1', 'G')).toStrictEqual([false]);
    const plan = planHand(changes('1 4 1 4 1 4 1 4 5 1 4 1 4 5', 'G'), mandolin);
    const hard = hardness(plan);
    const slowest = Math.max(...plan.changes.map((one) => one.motion?.ms ?? 0));
    plan.changes.forEach((one, index) => {
      if (one.motion?.ms === slowest) expect(hard[index]?.marked).toBe(true);
    });
    expect(hard.filter((one) => one.marked).length).toBeLessThan(plan.changes.length / 2);
  });

  it('says up to which tempo each change fits', () => {
    const plan = planHand(changes('1 4 1 5', 'G'), mandolin);
    hardness(plan).forEach((one, index) => {
      const { motion: way } = plan.changes[index] ?? {};
      expect(one.bpm).toBe(way && way.ms > 0 ? fittingTempo(way) : Number.POSITIVE_INFINITY);
    });
  });
});
