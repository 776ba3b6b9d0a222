// npm run bench -- listen-verdict [--quick]: whether what is said of a pass is true, by players in virtual time whose figures are known,
// heard by an ear that errs as the goals of hearing allow.
import { readChart } from '../../dist/chart/read.js';
import { mandolin } from '../../dist/hand/instrument.js';
import { expectedStrokes } from '../../dist/listen/expected.js';
import { judgePass } from '../../dist/listen/judge-pass.js';
import { cleanLimits, levels } from '../../dist/listen/limits.js';
import { parseKey } from '../../dist/theory/key.js';
import { arrange } from '../../dist/time/arrange.js';
import { patterns } from '../../dist/time/pattern.js';
import { perfectEar, simulatedPass, usualEar } from '../listen/simulated-player.mjs';
import { medianTime } from './figures.mjs';

/** 32 bars: 64 chops in low note and chop. */
const song = '1 = 4 = 1 = 5 = 1 = 4 = 1 5 1 = 4 = 6- = 5 = 1 = 4 = 1 5 1 = = =';

function expectedOf(written, bpm, pattern = null) {
  const lines = [
    'title: Reed Gate',
    'key: G',
    `tempo: ${bpm}`,
    'meter: 4/4',
    'sections:',
    '  V: |',
    `    ${written}`,
  ];
  const chart = readChart(new TextEncoder().encode(lines.join('\n'))).value;
  const found = patterns.find(({ name }) => name === pattern);
  const options = {
    key: parseKey('G').value,
    instrument: mandolin,
    share: 1,
    ...(found ? { pattern: found } : {}),
  };
  return expectedStrokes(chart, arrange(chart, options), options);
}

const share = (list, test) => list.filter(test).length / Math.max(1, list.length);
const mean = (list) => list.reduce((sum, one) => sum + one, 0) / Math.max(1, list.length);
const percent = (value) => `${(100 * value).toFixed(1)} %`;

/** Passes of players, each judged: `make` answers what `simulatedPass` is given. */
function passes(count, expected, make, judge = {}) {
  return Array.from({ length: count }, (_, index) => {
    const options = make(index);
    const simulated = simulatedPass(expected, { seed: 7919 * (index + 1), ...options });
    const verdict = judgePass(expected, simulated.heard, { level: 'steady', offset: 0, ...judge });
    return { ...simulated, player: options.player ?? {}, verdict };
  });
}

/** Means and spreads against the truth. */
function intervals(rows, count) {
  const lead = (index) => -25 + ((index * 37) % 41);
  const cases = [
    ['spread 12 ms, 64 chops, ear without fault', 160, {}, perfectEar],
    ['the same, ear as the goals allow', 160, {}, usualEar],
    ['spread 20 ms at 120', 120, { spread: 20 }, usualEar],
    ['spread 10 ms at 250', 250, { spread: 10 }, usualEar],
    ['5 of 100 strokes missed by 90 ms', 160, { misses: 0.05 }, usualEar],
    ['errors follow each other by 0.5', 160, { follows: 0.5 }, usualEar],
  ];
  const figures = {};
  cases.forEach(([what, bpm, player, ear], number) => {
    const expected = expectedOf(song, bpm);
    const made = passes(count, expected, (index) => ({
      player: { mean: lead(index), ...player },
      ear,
      seed: 1000 * number + index,
    }));
    const chops = made.map(({ verdict, player: who }) => ({
      ...verdict.timing.chop,
      truth: who.mean,
      spreadTruth: Math.hypot(who.spread ?? 12, ear.place),
    }));
    const inside = share(chops, (one) => Math.abs(one.mean - one.truth) <= one.meanWithin);
    const spreadInside = share(
      chops,
      (one) => one.spreadFrom <= one.spreadTruth && one.spreadTruth <= one.spreadTo,
    );
    const width = mean(chops.map((one) => one.meanWithin));
    const isPlain = number === 0;
    rows.push({
      figure: `truth inside the interval: ${what}`,
      is: percent(inside),
      goal: '90–99 %',
      met: inside >= 0.9 && inside <= 0.99 ? 'yes' : 'no',
    });
    rows.push({
      figure: `half of the interval: ${what}`,
      is: `${width.toFixed(2)} ms`,
      goal: isPlain ? '3 ms' : '',
      met: isPlain ? (width <= 3 ? 'yes' : 'no') : '',
    });
    if (number < 4)
      rows.push({
        figure: `true spread inside its interval: ${what}`,
        is: percent(spreadInside),
        goal: '90–99 %',
        met: spreadInside >= 0.9 && spreadInside <= 0.99 ? 'yes' : 'no',
      });
    figures[`inside${number}`] = inside;
    figures[`width${number}`] = width;
  });
  return figures;
}

/** Which heard stroke was meant for which expected one, where the offset is unknown and the hand may run. */
function pairing(rows, count) {
  const figures = {};
  for (const [what, player] of [
    ['', {}],
    [', the hand runs off by 3 %', { runFrom: 8000, runBy: -0.03 }],
    [', a rest of four bars', { restBars: [8, 9, 10, 11] }],
  ]) {
    let [right, all] = [0, 0];
    for (const bpm of [90, 120, 160, 200, 260])
      for (const pattern of ['low-chop', 'low-chop-up']) {
        const expected = expectedOf(song, bpm, pattern);
        const each = Math.max(2, Math.round(count / 10));
        for (const { verdict, origins } of passes(
          each,
          expected,
          (index) => ({
            player: { spread: Math.min(14, 0.045 * (60_000 / bpm)), ...player },
            offset: 20 + 31 * (index % 8),
          }),
          { offset: null },
        )) {
          all += origins.size;
          right += verdict.strokes.filter(
            ({ heard, expected: one }) => heard && origins.get(heard) === one,
          ).length;
        }
      }
    rows.push({
      figure: `strokes paired rightly, offset unknown (20–240 ms), 90–260 bpm${what}`,
      is: percent(right / all),
      goal: '99 %',
      met: right / all >= 0.99 ? 'yes' : 'no',
    });
    figures[`paired${what}`] = right / all;
  }
  return figures;
}

/** Changes and chords. */
function chords(rows, count) {
  const expected = expectedOf(song, 160);
  const entries = [...new Set(expected.filter(({ from }) => from).map(({ entry }) => entry))];
  const oneOf = (index) => entries[index % entries.length];
  const late = passes(count, expected, (index) => ({
    player: { lateInto: [{ entry: oneOf(index), ms: 80 }] },
  }));
  const old = passes(count, expected, (index) => ({ player: { oldChordAt: [oneOf(index)] } }));
  const wrong = passes(count, expected, (index) => {
    const entry = oneOf(index);
    const right = expected.find((one) => one.entry === entry).chord.name;
    return { player: { wrongAt: new Map([[entry, right === 'G' ? 'C' : 'G']]) } };
  });
  const fine = passes(count, expected, () => ({}));
  const barOf = (entry) => expected.find((one) => one.entry === entry).bar;
  const lateFound = share(late, ({ verdict, player }) =>
    verdict.changes.some(({ bars }) => bars.includes(barOf(player.lateInto[0].entry))),
  );
  const oldFound = share(old, ({ verdict, player }) =>
    verdict.changes.some(({ bars }) => bars.includes(barOf(player.oldChordAt[0]))),
  );
  // Where it is the chord before that is held, it may be told as a change that came late.
  const wrongFound = share(wrong, ({ verdict, player }) => {
    const at = barOf([...player.wrongAt.keys()][0]);
    return (
      verdict.wrong.some(({ whole, bar }) => whole && bar === at) ||
      verdict.changes.some(({ withOldChord, bars }) => withOldChord > 0 && bars.includes(at))
    );
  });
  const changes = fine.flatMap(({ verdict }) => verdict.changes);
  const falseLate =
    changes.reduce((sum, one) => sum + one.late, 0) / changes.reduce((sum, one) => sum + one.heard, 0);
  const falseWhole =
    fine.reduce(
      (sum, { verdict }) => sum + verdict.wrong.filter((one) => one.whole && one.strokes > 1).length,
      0,
    ) /
    (count * (entries.length + 1));
  const unsure = mean(
    passes(count, expected, () => ({})).map(({ verdict }) =>
      share(verdict.strokes, ({ heard }) => heard?.chord?.isAsked == null),
    ),
  );
  rows.push(
    {
      figure: 'late change of 80 ms noticed (spread 12 ms)',
      is: percent(lateFound),
      goal: '97 %',
      met: lateFound >= 0.97 ? 'yes' : 'no',
    },
    {
      figure: 'old chord struck once more noticed (the ear tells 94 %)',
      is: percent(oldFound),
      goal: '',
      met: '',
    },
    {
      figure: 'chord held wrong noticed',
      is: percent(wrongFound),
      goal: '97 %',
      met: wrongFound >= 0.97 ? 'yes' : 'no',
    },
    {
      figure: 'changes called late that were not',
      is: percent(falseLate),
      goal: '1 %',
      met: falseLate <= 0.01 ? 'yes' : 'no',
    },
    {
      figure: 'chords called wrong that were not',
      is: percent(falseWhole),
      goal: '1 %',
      met: falseWhole <= 0.01 ? 'yes' : 'no',
    },
    {
      figure: 'strokes left unsure or not heard',
      is: percent(unsure),
      goal: '5 %',
      met: unsure <= 0.05 ? 'yes' : 'no',
    },
  );
  return { lateFound, oldFound, wrongFound, falseLate, falseWhole, unsure };
}

/** Clean or not, where the truth lies a quarter within the limits or a quarter beyond one of them. */
function decisions(rows, count) {
  const figures = {};
  for (const level of levels) {
    const expected = expectedOf(song, 160);
    const { spread, ahead, behind } = cleanLimits(level, 375);
    const half = 0.4 * spread;
    const within = passes(
      count,
      expected,
      (index) => ({ player: { spread: 0.75 * spread, mean: index % 2 ? -0.75 * ahead : 0.75 * behind - 2 } }),
      { level },
    );
    const beyond = [
      ['spread', { spread: 1.3 * spread }],
      ['lead', { spread: half, mean: -1.25 * ahead }],
      ['lag', { spread: half, mean: 1.25 * behind + 3 }],
      ['run', { spread: half, runFrom: 12_000, runBy: -0.03 }],
      [
        'late',
        {
          spread: half,
          lateInto: expected
            .filter(({ from }) => from)
            .slice(0, 6)
            .map(({ entry }) => ({ entry, ms: 80 })),
        },
      ],
      ['ring', { spread: half, ringsOn: 0.6 }],
    ];
    const clean = share(within, ({ verdict }) => verdict.result === 'clean');
    rows.push({
      figure: `${level}: called clean, a quarter within the limits`,
      is: percent(clean),
      goal: '95 %',
      met: clean >= 0.95 ? 'yes' : 'no',
    });
    const missed = beyond.map(([what, player]) => [
      what,
      share(
        passes(Math.round(count / 2), expected, () => ({ player }), { level }),
        ({ verdict }) => verdict.result === 'clean',
      ),
    ]);
    const worst = missed.sort(([, one], [, other]) => other - one)[0];
    rows.push({
      figure: `${level}: called clean, a quarter beyond one limit (worst: ${worst[0]})`,
      is: percent(worst[1]),
      goal: '5 %',
      met: worst[1] <= 0.05 ? 'yes' : 'no',
    });
    figures[`clean ${level}`] = clean;
    figures[`not clean ${level}`] = worst[1];
  }
  return figures;
}

/** What is said of a pass, against what is true of it. */
export function benchListenVerdict(quick) {
  const count = quick ? 40 : 200;
  const rows = [];
  const started = performance.now();
  const figures = {
    ...intervals(rows, count),
    ...pairing(rows, count),
    ...chords(rows, count),
    ...decisions(rows, count),
  };
  const timeOf = (times) => {
    const expected = expectedOf(Array(times).fill(song).join(' '), 220);
    const [one, other, third] = [0, 90, 170].map(
      (mean, seed) => simulatedPass(expected, { seed, player: { mean, spread: 40 } }).heard,
    );
    const heard = [...one, ...other, ...third].sort((first, second) => first.at - second.at);
    return medianTime(() => judgePass(expected, heard, { level: 'steady', offset: null }), 5, 2);
  };
  const [ms, fourMs] = [timeOf(1), timeOf(4)];
  rows.push(
    {
      figure: 'time to judge 32 bars that two others play along with',
      is: `${ms.toFixed(1)} ms`,
      goal: '',
      met: '',
    },
    {
      figure: 'four times as many bars',
      is: `${(fourMs / ms).toFixed(1)} times`,
      goal: '6 times',
      met: fourMs / ms <= 6 ? 'yes' : 'no',
    },
  );
  console.log(`${count} passes each, ${((performance.now() - started) / 1000).toFixed(0)} s`);
  console.table(rows);
  return { ...figures, ms, growth: fourMs / ms };
}
