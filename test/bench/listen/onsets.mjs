// Strokes: whether each is heard, when, what kind, how long it rings, alone, in noise, and with the program's own click in the room.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { envelope, ringMs } from '../../../dist/listen/envelope.js';
import { OwnSounds } from '../../../dist/listen/own-sounds.js';
import { StrokeHearer } from '../../../dist/listen/strokes.js';
import { woodBlock } from '../../../dist/player/synth/wood-block.js';

const chords = ['F', 'Bm', 'Bb', 'Em', 'B7', 'A', 'D'];
const piece = 441;

/** Performances that nothing was tuned on, as each instrument sounds them. */
function performances({ performance, rendered, plucked, instruments, renderable, rate }, quick) {
  const tempos = quick
    ? [
        [120, true],
        [240, false],
      ]
    : [
        [120, true],
        [160, false],
        [200, false],
        [200, true],
        [230, false],
        [260, false],
      ];
  const sources =
    renderable() === null
      ? quick
        ? ['mandolin', 'strings']
        : ['mandolin', 'banjo', 'ukulele', 'strings']
      : ['strings'];
  return sources.flatMap((name) =>
    tempos.map(([bpm, ups], index) => {
      const played = performance({
        bpm,
        bars: quick ? 6 : 16,
        seed: 7000 + 31 * index + name.length,
        chords,
        ups,
      });
      const samples = name === 'strings' ? plucked(played, rate) : rendered(played, instruments[name]);
      return { name, bpm, ups, played, samples };
    }),
  );
}

/** Everything heard, in pieces of 10 ms, and how long the latest onset took to be told, ms. */
function heardOf(samples, rate, options = {}) {
  const now = { end: 0, late: 0 };
  const hearer = new StrokeHearer(rate, {
    ...options,
    onOnset: ({ sample }) => {
      now.late = Math.max(now.late, (1000 * (now.end - sample)) / rate);
    },
  });
  const strokes = [];
  for (let from = 0; from < samples.length; from += piece) {
    now.end = Math.min(samples.length, from + piece);
    strokes.push(...hearer.push(samples.subarray(from, now.end)));
  }
  strokes.push(...hearer.end());
  return { strokes, late: now.late };
}

/** The same with clicks mixed in, as loud as the strokes, through a room; `alone` clicks before the playing. */
function withClicks({ mixIn, through, smallRoom, usualPeak, rate }, { samples, bpm, played }, alone) {
  const dry = { accented: woodBlock(rate, true), plain: woodBlock(rate, false) };
  const room = smallRoom(rate, 91);
  const wet = { accented: through(dry.accented, room), plain: through(dry.plain, room) };
  const most = wet.accented.reduce((peak, sample) => Math.max(peak, Math.abs(sample)), 0);
  const own = new OwnSounds(rate, dry);
  const mixed = samples.slice();
  const level = usualPeak(samples, rate) / most;
  for (let beat = -alone; beat < Math.ceil(played.at(-1).beat); beat += 1) {
    const sample = Math.round(((1000 + (beat * 60_000) / bpm) * rate) / 1000);
    if (sample < 0) continue;
    const sound = beat % 4 === 0 ? 'accented' : 'plain';
    mixIn(mixed, wet[sound], sample, level);
    own.expect({ sample, sound, level: 1, alone: beat < 0 });
  }
  return { mixed, own };
}

/** What aubioonset finds, ms; null where it is not installed. */
function beside(samples, rate) {
  const folder = mkdtempSync(join(tmpdir(), 'listen-'));
  try {
    const file = join(folder, 'in.wav');
    const bytes = Buffer.alloc(44 + 2 * samples.length);
    bytes.write('RIFF', 0);
    bytes.writeUInt32LE(36 + 2 * samples.length, 4);
    bytes.write('WAVEfmt ', 8);
    bytes.writeUInt32LE(16, 16);
    bytes.writeUInt16LE(1, 20);
    bytes.writeUInt16LE(1, 22);
    bytes.writeUInt32LE(rate, 24);
    bytes.writeUInt32LE(2 * rate, 28);
    bytes.writeUInt16LE(2, 32);
    bytes.writeUInt16LE(16, 34);
    bytes.write('data', 36);
    bytes.writeUInt32LE(2 * samples.length, 40);
    samples.forEach((sample, index) => {
      bytes.writeInt16LE(Math.round(32_767 * Math.max(-1, Math.min(1, sample))), 44 + 2 * index);
    });
    writeFileSync(file, bytes);
    const { status, stdout } = spawnSync('aubioonset', ['-i', file, '-H', '128', '-B', '512'], {
      encoding: 'utf8',
    });
    return status === 0
      ? stdout
          .trim()
          .split('\n')
          .filter(Boolean)
          .map((line) => 1000 * Number.parseFloat(line))
      : null;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** How long each stroke rings when it is struck alone, without noise, from its attack `offset` ms behind its time: what is to be heard. */
function ringsAlone({ rendered, plucked, instruments, rate }, { name, played }, offset) {
  const apart = played.map((stroke, index) => ({ ...stroke, at: 500 + 1200 * index }));
  const samples = name === 'strings' ? plucked(apart, rate) : rendered(apart, instruments[name]);
  return apart.map(({ at }) => {
    const from = Math.round(((at + offset) * rate) / 1000);
    const { power, stepMs } = envelope(samples.subarray(from, from + Math.round(1.1 * rate)), rate);
    return ringMs(power, stepMs, 0);
  });
}

/** Prints a table a figure and answers the figures. */
export function benchOnsets(sources, quick) {
  const { scored, quantile, withNoise, rate, renderable } = sources;
  const missing = renderable();
  if (missing !== null) console.log(`Only the string model is heard: ${missing}.`);
  const all = performances(sources, quick);
  const sums = new Map();
  const add = (row, name, values) => {
    const key = `${name}\n${row}`;
    const sum = sums.get(key) ?? {
      hits: 0,
      both: 0,
      away: [],
      kinds: [],
      rings: [],
      unheard: 0,
      noteOff: [],
    };
    sum.hits += values.hits ?? 0;
    sum.both += values.both ?? 0;
    for (const list of ['away', 'kinds', 'rings', 'noteOff']) sum[list].push(...(values[list] ?? []));
    sum.unheard += values.unheard ?? 0;
    sums.set(key, sum);
  };
  const ms = (sample) => (1000 * sample) / rate;
  let [late, seconds, spent] = [0, 0, 0];
  const compare = (row, one, found) => {
    const score = scored(
      one.played.map(({ at }) => at),
      found,
    );
    const away = score.pairs.map(([played, at]) =>
      Math.abs(found[at] - one.played[played].at - score.offset),
    );
    add(row, one.name, { hits: 2 * score.pairs.length, both: one.played.length + found.length, away });
    return score;
  };
  const listen = (row, one, samples, options, rings) => {
    const before = process.cpuUsage();
    const { strokes, late: told } = heardOf(samples, rate, options);
    const { user, system } = process.cpuUsage(before);
    [late, seconds, spent] = [
      Math.max(late, told),
      seconds + samples.length / rate,
      spent + (user + system) / 1e6,
    ];
    const { pairs, offset } = compare(
      row,
      one,
      strokes.map(({ sample }) => ms(sample)),
    );
    add(row, one.name, {
      kinds: pairs.map(([played, at]) => Number(strokes[at].kind === one.played[played].kind)),
    });
    if (!rings) return;
    const alone = ringsAlone(sources, one, offset);
    for (const [played, at] of pairs) {
      const { kind, length } = one.played[played];
      const gap = (one.played[played + 1]?.at ?? Number.POSITIVE_INFINITY) - one.played[played].at;
      if (kind !== 'chop' || alone[played] === null || alone[played] > gap - 20) continue;
      const heard = strokes[at].ringMs;
      if (heard === null) add(row, one.name, { unheard: 1 });
      else add(row, one.name, { rings: [heard - alone[played]], noteOff: [heard - length] });
    }
  };
  for (const one of all) {
    listen('clean', one, one.samples, {}, true);
    for (const [decibels, seed] of [
      [20, 5],
      [10, 6],
    ]) {
      const noisy = withNoise(one.samples, decibels, seed + one.bpm);
      listen(`noise ${decibels} dB`, one, noisy, {}, true);
      for (const alone of [4, 0]) {
        const { mixed, own } = withClicks(sources, { ...one, samples: noisy }, alone);
        listen(`click, noise ${decibels} dB${alone ? ', count-in' : ''}`, one, mixed, { own }, false);
      }
    }
    const other = beside(one.samples, rate);
    if (other) compare('aubioonset, clean', one, other);
  }
  const rows = [...sums].map(([key, sum]) => {
    const [name, row] = key.split('\n');
    return {
      instrument: name,
      sound: row,
      F: sum.hits / sum.both,
      'place p95 ms': quantile(sum.away, 0.95),
      'kind right %': sum.kinds.length
        ? (100 * sum.kinds.reduce((all, right) => all + right, 0)) / sum.kinds.length
        : null,
      'ring p90 ms': sum.rings.length ? quantile(sum.rings.map(Math.abs), 0.9) : null,
      'by note-off p90 ms': sum.noteOff.length
        ? quantile(
            sum.noteOff.map((off) => Math.abs(off - quantile(sum.noteOff, 0.5))),
            0.9,
          )
        : null,
      'ring not heard': sum.rings.length || sum.unheard ? sum.unheard : null,
    };
  });
  const shown = (value) => (typeof value === 'number' ? Number(value.toFixed(3)) : value);
  console.table(
    rows.map((row) => Object.fromEntries(Object.entries(row).map(([key, value]) => [key, shown(value)]))),
  );
  const first = all[0].name;
  const of = (sound) => rows.find((row) => row.instrument === first && row.sound === sound);
  const share = (100 * spent) / seconds;
  const goals = [
    ['F clean', of('clean').F, '≥', 0.99],
    ['F click, noise 20 dB', of('click, noise 20 dB').F, '≥', 0.97],
    ['F click, noise 10 dB', of('click, noise 10 dB').F, '≥', 0.93],
    ['place p95 ms', of('clean')['place p95 ms'], '≤', 3],
    ['kind right %', of('clean')['kind right %'], '≥', 98],
    ['ring p90 ms', of('clean')['ring p90 ms'], '≤', 15],
    ['told within ms', late, '≤', 60],
    ['share of a core %', share, '≤', 6],
  ];
  console.table(
    goals.map(([figure, result, sign, goal]) => ({
      figure: `${figure} (${first})`,
      goal: `${sign} ${goal}`,
      result: shown(result),
      met: (sign === '≥' ? result >= goal : result <= goal) ? 'yes' : 'no',
    })),
  );
  return Object.fromEntries(goals.map(([figure, result]) => [figure, result]));
}
