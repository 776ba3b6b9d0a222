// The part "chord" of npm run bench -- listen: how surely the ear tells the expected chord from another, and how a course is tuned.
// What is rendered here, instruments, keys, shapes and seeds, is nothing that the constants of src/listen were fitted to: those are from
// synthesised strings and other instruments of the sound font (nylon and steel guitar, clean guitar, koto, harpsichord).
import {
  chordPass,
  fluidsynth,
  plucked,
  pluckedInstrument,
  programs,
  seeded,
  withNoise,
} from '../listen/chord-takes.mjs';

const dist = (file) => import(new URL(`../../dist/${file}`, import.meta.url).href);
const [ear, tuning, number, chord, voicing, instrument, block] = await Promise.all(
  [
    'listen/chord-ear.js',
    'listen/course-tuning.js',
    'theory/number.js',
    'theory/chord.js',
    'hand/voicing.js',
    'hand/instrument.js',
    'player/synth/wood-block.js',
  ].map(dist),
);
const theory = { ...number, ...chord, ...voicing };
const hands = new Map(instrument.instruments.map((one) => [one.id, one]));

/** Sound font's name, what is fingered, first seed. */
const players = [
  ['mandolin', 'mandolin', 25_000],
  ['banjo', 'tenor-banjo-gdae', 26_000],
  ['banjo', 'tenor-banjo', 27_000],
  ['ukulele', 'ukulele', 28_000],
];
const tempos = [120, 160, 200, 230, 260];

/** Passes with what was played in them. */
function rendered(rounds, bars) {
  return players.flatMap(([name, hand, first]) =>
    Array.from({ length: rounds }, (_, round) => {
      const seed = first + round;
      const bpm = tempos[(round + first / 1000) % tempos.length];
      const pass = chordPass(theory, { seed, bpm, bars, instrument: hands.get(hand), faults: 0.3 });
      return { name, seed, bpm, ...pass, ...fluidsynth(pass.strokes, programs[name], pass.cents) };
    }),
  );
}

/** The tool's own click, as loud as the strokes' median peak, up to 10 ms from each. */
function withClick(take, seed) {
  const random = seeded(seed);
  const { rate, strokes } = take;
  const samples = Float32Array.from(take.samples);
  const from = ({ at }) => Math.round((at * rate) / 1000);
  const peaks = strokes.map((stroke) => {
    const piece = samples.subarray(from(stroke), from(stroke) + Math.round(rate / 20));
    return piece.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  });
  const level = peaks.sort((one, other) => one - other)[peaks.length >> 1] / 0.73;
  strokes.forEach((stroke, index) => {
    const begin = from(stroke) + Math.round((random() - 0.5) * 0.02 * rate);
    block.woodBlock(rate, index % 4 === 0).forEach((value, offset) => {
      if (begin + offset < samples.length) samples[begin + offset] += level * value;
    });
  });
  return { ...take, samples };
}

const conditions = [
  ['clean', (take) => take],
  ['noise 20 dB', (take) => ({ ...take, ...withNoise(take, 20, take.seed) })],
  ['noise 10 dB', (take) => ({ ...take, ...withNoise(take, 10, take.seed) })],
  ['click', (take) => withClick(take, take.seed)],
  ['click, noise 20 dB', (take) => withClick({ ...take, ...withNoise(take, 20, take.seed) }, take.seed)],
];

/** Where the confidence of verdicts is cut for the table, and up to which one each row goes. */
const cuts = [0.5, 0.8, 0.9, 0.95, 0.99, 0.999, 1.001];

/** What came of all strokes of passes: by kind and by what was played. */
function judged(takes, change) {
  const counts = {};
  const sure = cuts.slice(1).map(() => ({ all: 0, hits: 0 }));
  let spent = 0;
  let strokes = 0;
  for (const take of takes) {
    const { samples, rate } = change(take);
    const hearing = new ear.ChordEar(rate);
    for (const stroke of take.strokes) {
      const begun = process.cpuUsage();
      const attack = Math.round((stroke.at * rate) / 1000);
      const verdict = hearing.judge(samples, attack, { candidates: stroke.candidates, kind: stroke.kind });
      const { user, system } = process.cpuUsage(begun);
      spent += (user + system) / 1000;
      strokes += 1;
      const name = groupOf(stroke);
      counts[name] ??= { all: 0, same: 0, unsure: 0, other: 0 };
      const group = counts[name];
      group.all += 1;
      group[verdict.expected === null ? 'unsure' : verdict.expected ? 'same' : 'other'] += 1;
      if (verdict.expected === null || name.endsWith('shared')) continue;
      const row = sure[cuts.findIndex((cut) => verdict.confidence < cut) - 1];
      row.all += 1;
      if (verdict.expected === name.endsWith('right')) row.hits += 1;
    }
  }
  return { counts, sure, ms: spent / strokes };
}

/**
 * What a stroke is counted as: right; late (the chord before); wrong; of a chop of another chord without its fifth, `partly`, since its two
 * notes may be the expected chord's as well; of a low note that both chords have, `shared`.
 */
function groupOf({ kind, late, expected, played, notes, candidates }) {
  const tones = (id) => candidates.find((one) => one.id === id).pitchClasses;
  const [wanted, struck] = [tones(expected), tones(played)];
  const [less, more] = wanted.length <= struck.length ? [wanted, struck] : [struck, wanted];
  if (less[0] === more[0] && less.every((tone) => more.includes(tone))) return `${kind} right`;
  if (kind === 'low' && wanted.includes(notes[0] % 12)) return 'low shared';
  const whole = struck.slice(0, 3).every((tone) => notes.some((note) => note % 12 === tone));
  return `${kind} ${kind === 'low' || whole ? (late ? 'late' : 'wrong') : 'partly'}`;
}

const share = (group, what) => (group ? (100 * group[what]) / group.all : Number.NaN);

/** Judges passes in each condition, prints figures beside their goals, and answers them by name. */
export async function benchListenChord(quick) {
  const takes = rendered(quick ? 2 : 8, quick ? 12 : 24);
  const figures = {};
  for (const [name, change] of conditions) {
    const { counts, sure, ms } = judged(takes, change);
    const clean = name === 'clean';
    const rows = [
      ['false alarms, chops, %', share(counts['chop right'], 'other'), '≤ 1'],
      ['false alarms, low notes, %', share(counts['low right'], 'other'), '≤ 1'],
      ['wrong whole chord noticed, %', share(counts['chop wrong'], 'other'), clean ? '≥ 97' : ''],
      ['late change noticed, chops, %', share(counts['chop late'], 'other'), clean ? '≥ 97' : ''],
      [
        'late change noticed, low notes the chords do not share, %',
        share(counts['low late'], 'other'),
        clean ? '≥ 97' : '',
      ],
      ['wrong chord taken for right, chops, %', share(counts['chop wrong'], 'same'), ''],
      ['another chord without its fifth noticed, %', share(counts['chop partly'], 'other'), ''],
      ['wrong low note noticed, %', share(counts['low wrong'], 'other'), ''],
      ['left unsure, chops, %', share(counts['chop right'], 'unsure'), clean ? '≤ 5' : ''],
      ['left unsure, low notes, %', share(counts['low right'], 'unsure'), clean ? '≤ 5' : ''],
      ['processor, ms a stroke', ms, '≤ 1'],
    ];
    console.log(`\n${name}: ${takes.length} passes`);
    console.table(
      rows.map(([figure, result, goal]) => ({
        figure,
        goal,
        result: Number(result.toFixed(2)),
        met: met(result, goal),
      })),
    );
    console.table(
      sure
        .map(({ all, hits }, index) => ({
          confidence: `${cuts[index]}–${Math.min(1, cuts[index + 1])}`,
          verdicts: all,
          right: all === 0 ? '' : `${((100 * hits) / all).toFixed(1)} %`,
        }))
        .slice(1),
    );
    // A short pass may lack a kind of fault; then it has no figure.
    for (const [figure, result] of rows) if (!Number.isNaN(result)) figures[`${name}: ${figure}`] = result;
  }
  return { ...figures, ...benchTuning(quick ? 20 : 120) };
}

function met(result, goal) {
  if (goal === '') return '';
  const limit = Number(goal.slice(2));
  return (goal.startsWith('≤') ? result <= limit : result >= limit) ? 'yes' : 'no';
}

/** How near the tuning of courses comes, strings drawn at random. */
function benchTuning(count) {
  const random = seeded(77);
  const off = [];
  const apartOff = [];
  let unheard = 0;
  for (let index = 0; index < count; index += 1) {
    const note = [55, 62, 69, 76, 43, 48, 67][index % 7];
    const cents = (random() - 0.5) * 60;
    const strings = index % 3 ? 2 : 1;
    const apart = strings === 2 && index % 4 ? random() * 20 : 0;
    const string = {
      ...pluckedInstrument(40_300 + index),
      strings,
      detune: apart,
      decay: 0.5 + 1.5 * random(),
    };
    const rate = [44_100, 48_000, 26_000][index % 3];
    const clean = plucked([{ at: 200, notes: [note], velocity: 90, length: 1700, spread: 0 }], string, {
      rate,
      cents,
      seed: index,
    });
    const { samples } = index % 2 ? withNoise(clean, 30, index) : clean;
    const found = tuning.courseTuning(samples, {
      attack: Math.round(0.2 * rate),
      end: Math.round(1.85 * rate),
      rate,
      hertz: 440 * 2 ** ((note - 69) / 12),
      strings,
    });
    if (!found) {
      unheard += 1;
      continue;
    }
    // A stiff string's first partial is sharp by this.
    off.push(Math.abs(found.cents - cents - 865.6 * string.stiffness));
    if (strings === 2) apartOff.push(Math.abs(found.apartCents - apart));
  }
  const p95 = (list) => list.sort((one, other) => one - other)[Math.floor(0.95 * (list.length - 1))];
  const figures = {
    'tuning: off by, p95, cents': p95(off),
    'tuning: strings of a pair, off by, p95, cents': p95(apartOff),
    'tuning: not heard, %': (100 * unheard) / count,
  };
  const goals = ['≤ 1', '≤ 1', '≤ 1'];
  console.table(
    Object.entries(figures).map(([figure, result], index) => ({
      figure,
      goal: goals[index],
      result: Number(result.toFixed(2)),
      met: met(result, goals[index]),
    })),
  );
  return figures;
}
