// Recordings of charts: whether start and tempo are found, and whether what was played is what is said, with faults that are known.
import { readFileSync } from 'node:fs';
import { readChart } from '../../../dist/chart/read.js';
import { mandolin } from '../../../dist/hand/instrument.js';
import { judgeTake } from '../../../dist/listen/judge-take.js';
import { passPlan } from '../../../dist/listen/pass-plan.js';
import { bytesOf, openWav } from '../../../dist/listen/wav.js';
import { hearWav } from '../../../dist/listen/wav-strokes.js';
import { wavHeader, wavSamples } from '../../../dist/listen/wav-write.js';
import { arrange } from '../../../dist/time/arrange.js';
import { patterns } from '../../../dist/time/pattern.js';

const songs = [
  ['half-a-mile-of-fog', null],
  ['copperwort-lane', null],
  ['tollhouse-kettle', null],
  ['sluice-gate-morning', null],
  ['weir-hands', 'low-chop-up'],
  ['lockkeepers-candle', null],
];
const sources = ['mandolin', 'banjo', 'ukulele'];
/** Decibels of the noise below the music; none. */
const noises = [null, 20, 10];

function planOf(name, patternName) {
  const { value: chart } = readChart(readFileSync(new URL(`../../../charts/${name}.yaml`, import.meta.url)));
  const pattern = patterns.find((one) => one.name === patternName);
  const options = { key: chart.key, instrument: mandolin, share: 1, ...(pattern ? { pattern } : {}) };
  return passPlan(chart, arrange(chart, options), options);
}

function finished(steps) {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

function wavOf(samples, rate) {
  const sound = wavSamples(samples);
  const opened = openWav(bytesOf(Buffer.concat([wavHeader(rate, sound.length), sound])));
  if (!opened.ok) throw new Error(opened.fault);
  return opened.value;
}

/** Faults of a pass, drawn at random: chords that are another, changes that come late by one or two strokes, chops that ring on. */
function faultsOf(expected, random) {
  const entries = [...new Set(expected.map(({ entry }) => entry))];
  const first = (entry) => expected.find((one) => one.entry === entry);
  const [wrong, late, ring] = [new Map(), new Map(), new Set()];
  for (const entry of entries) {
    const strokes = expected.filter((one) => one.entry === entry);
    const draw = random();
    // Another chord of the pass with another root, for all of its time; or the chord before goes on.
    const others = expected.filter(
      ({ chord }) => chord.pitchClasses[0] !== first(entry).chord.pitchClasses[0],
    );
    if (draw < 0.1 && strokes.length > 1 && others.length > 0)
      wrong.set(entry, others[Math.floor(random() * others.length)].chord);
    else if (draw < 0.25 && strokes.length > 2 && first(entry).from)
      late.set(entry, 1 + Math.floor(2 * random()));
  }
  expected.forEach(({ kind }, index) => {
    if (kind === 'chop' && random() < 0.06) ring.add(index);
  });
  return { wrong, late, ring };
}

export async function benchFile(
  { chartTake, rendered, withNoise, instruments, renderable, seeded, rate },
  quick,
) {
  const lack = renderable();
  if (lack !== null) {
    console.log(`left out: ${lack}`);
    return { 'left out': 1 };
  }
  const rows = [];
  const all = {
    takes: 0,
    found: 0,
    heard: 0,
    strokes: 0,
    errors: [],
    spreads: [],
    wrong: 0,
    wrongFound: 0,
    late: 0,
    lateFound: 0,
    alarms: 0,
    entries: 0,
    seconds: 0,
    ms: 0,
  };
  for (const [at, [name, pattern]] of (quick ? songs.slice(2, 3) : songs).entries())
    for (const source of quick ? sources.slice(0, 1) : sources)
      for (const noise of quick ? [null] : noises) {
        const seed = 900 + 37 * at + 7 * sources.indexOf(source) + noises.indexOf(noise);
        const random = seeded(seed);
        const plan = planOf(name, pattern);
        const share = 0.67 + 0.65 * random();
        const start = 800 + 6000 * random();
        // From nothing to a tenth faster or slower at the end.
        const bend = 0.2 * (random() - 0.5) + 1e-6;
        const timeOf = (place) =>
          start + (plan.length / bend / share) * Math.log(1 + (bend * place) / plan.length);
        const faults = faultsOf(plan.expected, random);
        const jitter = 8 + 8 * random();
        const played = chartTake(plan.expected, { seed, timeOf, jitter, ...faults });
        const clean = rendered(played, instruments[source]);
        const samples = noise === null ? clean : withNoise(clean, noise, seed);
        const begun = performance.now();
        const wav = wavOf(samples, rate);
        const { strokes } = finished(hearWav(wav));
        const take = finished(judgeTake(wav, strokes, { plans: [plan], slowness: null, level: 'steady' }));
        const ms = performance.now() - begun;
        const [pass] = take.passes;
        const isFound =
          pass !== undefined && Math.abs(pass.start - timeOf(0)) < 60 && take.passes.length === 1;
        all.takes += 1;
        all.seconds += samples.length / rate;
        all.ms += ms;
        const row = {
          song: name,
          source,
          noise: noise ?? '-',
          bpm: share.toFixed(2),
          found: isFound ? 'yes' : 'no',
        };
        rows.push(row);
        if (!isFound) continue;
        all.found += 1;
        const { verdict } = pass;
        const late = verdict.strokes.map((one, index) =>
          one.late === null ? null : one.late - (played[index].at - timeOf(plan.expected[index].at)),
        );
        const heard = late.filter((one) => one !== null);
        all.heard += heard.length;
        all.strokes += late.length;
        const middle = [...heard].sort((a, b) => a - b)[heard.length >> 1];
        all.errors.push(...heard.map((one) => Math.abs(one - middle)));
        if (verdict.timing.chop) all.spreads.push(Math.abs(verdict.timing.chop.spread - jitter) / jitter);
        const barsOf = (entries) =>
          entries.map((entry) => plan.expected.find((one) => one.entry === entry).bar);
        const said = verdict.wrong.filter(({ whole }) => whole).map(({ bar }) => bar);
        const saidLate = verdict.changes.filter((one) => one.withOldChord > 0).flatMap(({ bars }) => bars);
        const [wrongBars, lateBars] = [barsOf([...faults.wrong.keys()]), barsOf([...faults.late.keys()])];
        // A late change whose old low note is one of the new chord's cannot be heard.
        const audible = barsOf(
          [...faults.late].flatMap(([entry, count]) => {
            const [first] = plan.expected.filter((one) => one.entry === entry);
            const before = plan.expected.findLast((one) => one.entry < entry).chord;
            const isHidden =
              count === 1 && first.kind === 'low' && first.chord.pitchClasses.includes(before.notes[0] % 12);
            return isHidden || faults.wrong.has(entry - 1) ? [] : [entry];
          }),
        );
        all.wrong += wrongBars.length;
        all.wrongFound += wrongBars.filter((bar) => said.includes(bar) || saidLate.includes(bar)).length;
        all.late += audible.length;
        all.lateFound += audible.filter((bar) => saidLate.includes(bar)).length;
        all.alarms += [...said, ...saidLate].filter(
          (bar) => ![...wrongBars, ...lateBars].includes(bar),
        ).length;
        all.entries += new Set(plan.expected.map(({ entry }) => entry)).size;
        row.heard = `${heard.length}/${late.length}`;
        row.wrong = `${wrongBars.filter((bar) => said.includes(bar) || saidLate.includes(bar)).length}/${wrongBars.length}`;
        row.late = `${audible.filter((bar) => saidLate.includes(bar)).length}/${audible.length}`;
      }
  console.table(rows);
  all.errors.sort((one, other) => one - other);
  const share = (part, whole) => (whole === 0 ? 1 : part / whole);
  const figures = {
    'recordings of which start and tempo are found, share': share(all.found, all.takes),
    'strokes heard, share': share(all.heard, all.strokes),
    'lateMs off the truth, p95 ms': all.errors[Math.floor(0.95 * all.errors.length)] ?? Number.NaN,
    'spread off the truth, mean share': all.spreads.reduce((sum, one) => sum + one, 0) / all.spreads.length,
    'wrong chords noticed, share': share(all.wrongFound, all.wrong),
    'late changes noticed, share': share(all.lateFound, all.late),
    'false alarms among entries, share': share(all.alarms, all.entries),
    'processor, share of the time it sounds': all.ms / 1000 / all.seconds,
  };
  const goals = [1, 0.97, 8, 0.15, 0.97, 0.97, 0.01, 0.06];
  const isLeast = [true, true, false, false, true, true, false, false];
  console.table(
    Object.entries(figures).map(([figure, value], index) => ({
      figure,
      result: Number(value.toFixed(4)),
      goal: `${isLeast[index] ? '≥' : '≤'} ${goals[index]}`,
      met: (isLeast[index] ? value >= goals[index] : value <= goals[index]) ? 'yes' : 'no',
    })),
  );
  return figures;
}
