// Passes of low notes and chops with known truth, for tests and bench of the chord's ear: which chord was expected, which was played, in which voicing.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { writeMidi } from 'midi-file';

/** Random numbers from 0 up to 1, the same for the same seed (mulberry32). */
export function seeded(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

const normal = (random) => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());

/** The chords that a song in a key draws from, the usual ones more often; minor keys count from the major scale. */
const pools = {
  major: ['1', '1', '4', '4', '5', '5', '6-', '2-', 'b7', '5^7', '3-', '2', '4-', '6^7'],
  minor: ['1-', '1-', 'b7', 'b7', 'b3', '4-', '5-', '5', 'b6', '5^7'],
};
const tonics = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];

/**
 * A pass as a player with faults plays it: each bar a low note and a chop, twice. `theory` holds what it needs of the program:
 * parseNumber, toChord, chordTones, chordName, voicings. Answers strokes with what was expected, what was played, and the
 * candidates a verdict chooses from.
 */
export function chordPass(theory, options) {
  const {
    seed,
    bpm,
    bars = 16,
    instrument,
    faults = 0.25,
    others = 0.4,
    spreadMs = [3, 7],
    lowMs = 350,
    chopMs = 55,
  } = options;
  const random = seeded(seed);
  const pick = (list) => list[Math.floor(random() * list.length)];
  const mode = random() < 0.7 ? 'major' : 'minor';
  const key = { tonic: pick(tonics), mode };
  const pool = pools[mode];
  const song = [...new Set(Array.from({ length: 7 }, () => pick(pool)))];
  const reach = instrument.scale * 0.25;
  const shapesOf = new Map();
  const chordOf = new Map(
    [...new Set(pool)].map((name) => [name, theory.toChord(theory.parseNumber(name).value, key)]),
  );
  const shapes = (name) => {
    if (!shapesOf.has(name)) {
      const all = theory.voicings(chordOf.get(name), instrument, { reach, highestFret: 9 });
      const notes = all.map(({ frets }) =>
        frets.flatMap((at, course) => (at === null ? [] : [instrument.courses[course].open + at])),
      );
      shapesOf.set(name, { all: notes, planned: pick(notes) });
    }
    return shapesOf.get(name);
  };
  const idOf = (name) => theory.chordName(chordOf.get(name));
  const candidate = (name, index, before, after) => ({
    id: idOf(name),
    notes: shapes(name).planned,
    pitchClasses: theory.chordTones(chordOf.get(name)),
    role: index === 0 ? 'expected' : name === before ? 'before' : name === after ? 'after' : 'other',
  });
  const chart = Array.from({ length: bars }, () => pick(song));
  const beat = 60_000 / bpm;
  const strokes = [];
  for (let bar = 0; bar < bars; bar += 1) {
    const [before, expected, after] = [chart[bar - 1], chart[bar], chart[bar + 1]];
    for (let at = 0; at < 4; at += 1) {
      const low = at % 2 === 0;
      const fault = random() < faults;
      const late = before !== undefined && before !== expected && random() < 0.5;
      const played = !fault
        ? expected
        : late
          ? before
          : pick([...chordOf.keys()].filter((name) => idOf(name) !== idOf(expected)));
      const shape = shapes(played);
      const notes = random() < others ? pick(shape.all) : shape.planned;
      const names = [
        ...new Set([expected, ...(before ? [before] : []), ...(after ? [after] : []), ...chordOf.keys()]),
      ];
      strokes.push({
        at: 1000 + (bar * 4 + at) * beat + 10 * normal(random),
        notes: low ? [notes[0]] : notes,
        velocity: 70 + Math.floor(45 * random()),
        length: low ? Math.min(0.75 * beat, lowMs) : chopMs * (0.8 + 0.5 * random()),
        spread: low ? 0 : spreadMs[0] + (spreadMs[1] - spreadMs[0]) * random(),
        kind: low ? 'low' : 'chop',
        late: fault && late,
        expected: idOf(expected),
        played: idOf(played),
        candidates: names.map((name, index) => candidate(name, index, before, after)),
      });
    }
  }
  return { strokes, cents: Math.round(50 * (random() - 0.5)) };
}

/** Programs of the sound font FluidR3_GM of Debian's fluid-soundfont-gm: bank and number. */
export const programs = {
  mandolin: [16, 25],
  banjo: [0, 105],
  ukulele: [8, 24],
  nylon: [0, 24],
  steel: [0, 25],
  clean: [0, 27],
  koto: [0, 107],
  harpsichord: [0, 6],
};
const soundFont = '/usr/share/sounds/sf2/FluidR3_GM.sf2';

/** What fluidsynth makes of strokes, mono, 44 100 samples a second, all of it sharper by so many cents. */
export function fluidsynth(strokes, [bank, program], cents = 0) {
  const events = strokes.flatMap(({ at, notes, velocity, length, spread }) =>
    notes.flatMap((noteNumber, index) => [
      {
        tick: Math.round((at + (notes.length > 1 ? (index * spread) / (notes.length - 1) : 0)) * 10),
        on: true,
        noteNumber,
        velocity,
      },
      { tick: Math.round((at + length) * 10), on: false, noteNumber, velocity: 0 },
    ]),
  );
  events.sort((one, other) => one.tick - other.tick || Number(one.on) - Number(other.on));
  let before = 0;
  const track = [
    { deltaTime: 0, type: 'setTempo', microsecondsPerBeat: 1_000_000, meta: true },
    { deltaTime: 0, type: 'controller', controllerType: 0, value: bank, channel: 0 },
    { deltaTime: 0, type: 'programChange', programNumber: program, channel: 0 },
    { deltaTime: 0, type: 'pitchBend', value: Math.round((8192 * cents) / 200), channel: 0 },
    ...events.map(({ tick, on, noteNumber, velocity }) => {
      const deltaTime = tick - before;
      before = tick;
      return { deltaTime, type: on ? 'noteOn' : 'noteOff', noteNumber, velocity, channel: 0 };
    }),
    { deltaTime: 5000, type: 'endOfTrack', meta: true },
  ];
  const folder = mkdtempSync(join(tmpdir(), 'chord-'));
  try {
    const midi = join(folder, 'in.mid');
    const raw = join(folder, 'out.raw');
    writeFileSync(
      midi,
      Uint8Array.from(
        writeMidi({ header: { format: 0, numTracks: 1, ticksPerBeat: 10_000 }, tracks: [track] }),
      ),
    );
    const flags = [
      '-ni',
      '-q',
      '-R',
      '0',
      '-C',
      '0',
      '-g',
      '0.8',
      '-r',
      '44100',
      '-o',
      'synth.midi-bank-select=gs',
      '-T',
      'raw',
      '-O',
      's16',
    ];
    execFileSync('fluidsynth', [...flags, '-F', raw, soundFont, midi], { stdio: 'ignore' });
    const bytes = readFileSync(raw);
    const samples = Float32Array.from(
      { length: Math.floor(bytes.length / 4) },
      (_, index) => (bytes.readInt16LE(4 * index) + bytes.readInt16LE(4 * index + 2)) / 65_536,
    );
    return { samples, rate: 44_100 };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** A plucked instrument by its physics, drawn at random: tilt and place of the pluck, decay, stiffness, body, pick noise, doubled courses. */
export function pluckedInstrument(seed) {
  const random = seeded(seed);
  return {
    pluck: 0.08 + 0.25 * random(),
    tilt: 0.5 + 1.0 * random(),
    decay: 0.15 + 1.2 * random(),
    damping: 0.02 + 0.12 * random(),
    stiffness: 2e-5 * 25 ** random(),
    choke: 0.006 + 0.03 * random(),
    noise: 0.02 + 0.25 * random(),
    strings: random() < 0.6 ? 2 : 1,
    detune: 6 * random(),
    body: Array.from({ length: 6 }, () => ({
      hertz: 150 * 20 ** random(),
      width: 0.3 + 0.5 * random(),
      gain: 1.5 * (random() - 0.35),
    })),
  };
}

/** What such an instrument sounds like. */
export function plucked(strokes, instrument, { rate = 44_100, cents = 0, seed = 1 } = {}) {
  const random = seeded(seed);
  const last = Math.max(...strokes.map(({ at, length }) => at + length));
  const samples = new Float32Array(Math.ceil(((last + 400) * rate) / 1000));
  const { pluck, tilt, decay, damping, stiffness, choke, noise, strings, detune, body } = instrument;
  const gain = (hertz) =>
    Math.exp(
      body.reduce(
        (sum, one) => sum + one.gain * Math.exp(-((Math.log(hertz / one.hertz) / one.width) ** 2)),
        0,
      ),
    );
  for (const { at, notes, velocity, length, spread } of strokes) {
    notes.forEach((note, index) => {
      const begin = Math.round(
        ((at + (notes.length > 1 ? (index * spread) / (notes.length - 1) : 0)) * rate) / 1000,
      );
      const end = Math.round(((at + length) * rate) / 1000);
      const stop = Math.min(samples.length, end + Math.round(6 * choke * rate));
      const level = 0.08 * (velocity / 127) ** 1.5 * (0.7 + 0.6 * random());
      for (let string = 0; string < strings; string += 1) {
        const base = 440 * 2 ** ((note - 69 + (cents + (string - (strings - 1) / 2) * detune) / 100) / 12);
        for (let h = 1; h <= 24; h += 1) {
          const hertz = h * base * Math.sqrt(1 + stiffness * h * h);
          if (hertz > Math.min(9000, 0.45 * rate)) break;
          let size = (level / strings) * (Math.abs(Math.sin(Math.PI * h * pluck)) / h ** tilt) * gain(hertz);
          const perSample = Math.exp(-1 / (rate * (decay / (1 + damping * h * h))));
          const perChoke = Math.exp(-1 / (rate * choke));
          // A turning pair of numbers makes the tone.
          const turn = (2 * Math.PI * hertz) / rate;
          const [c, s] = [Math.cos(turn), Math.sin(turn)];
          const phase = 2 * Math.PI * random() * 0.1;
          let x = Math.cos(phase);
          let y = Math.sin(phase);
          for (let n = begin; n < stop; n += 1) {
            samples[n] += size * y;
            const next = c * x - s * y;
            y = s * x + c * y;
            x = next;
            size *= n < end ? perSample : perSample * perChoke;
          }
        }
      }
      let hiss = 0;
      for (let n = begin; n < begin + Math.round(0.012 * rate); n += 1) {
        hiss = 0.5 * hiss + normal(random);
        samples[n] += level * noise * hiss * Math.exp(-(n - begin) / (0.003 * rate));
      }
    });
  }
  return { samples, rate };
}

/** Sound with white noise, so many decibels below the mean power of what sounds. */
export function withNoise({ samples, rate }, decibels, seed) {
  const random = seeded(seed);
  let energy = 0;
  let count = 0;
  for (const value of samples) {
    if (Math.abs(value) <= 0.003) continue;
    energy += value * value;
    count += 1;
  }
  const rms = Math.sqrt(energy / count) * 10 ** (-decibels / 20);
  return { samples: samples.map((value) => value + rms * normal(random)), rate };
}
