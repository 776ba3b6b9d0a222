// npm run bench -- ear [--quick]: what listening costs: processor and memory of its process, how soon an onset is told, and
// whether the player is later for it.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readChart } from '../../dist/chart/read.js';
import { openEar } from '../../dist/ear/client.js';
import { mandolin } from '../../dist/hand/instrument.js';
import { wavHeader, wavSamples } from '../../dist/listen/wav-write.js';
import { PlayerClient } from '../../dist/player/client.js';
import { hrtimeMs } from '../../dist/player/host.js';
import { arrange } from '../../dist/time/arrange.js';
import { begin } from '../../dist/time/conductor.js';
import { median } from './figures.mjs';

/** Goals, of the processor in percent of a core, of memory in MiB, of an onset in ms. */
const goals = { processor: 6, memory: 80, onset: 60 };
const rates = [16_000, 44_100, 96_000];
/** A clock tick of the system's account of processor time, ms. */
const tickMs = 1000 / Number(execFileSync('getconf', ['CLK_TCK'], { encoding: 'utf8' }));

/** Chops and low notes at 200 beats a minute, by the physics of strings, over faint noise. */
function playing(seconds, rate) {
  const samples = Float32Array.from(
    { length: Math.round(seconds * rate) },
    () => 0.002 * (Math.random() - 0.5),
  );
  for (let beat = 0; (beat + 2) * 0.3 < seconds; beat += 1) {
    const begin = Math.round((0.5 + beat * 0.3) * rate);
    const low = beat % 2 === 0;
    for (const base of low ? [196] : [196, 294, 440, 659])
      for (let partial = 1; partial <= 8 && partial * base < rate / 2; partial += 1)
        for (let at = 0; at < 0.28 * rate && begin + at < samples.length; at += 1) {
          const second = at / rate;
          const decay = (low ? 6 : 30) + 5 * partial;
          samples[begin + at] +=
            (0.1 / partial) *
            Math.min(1, second / 0.001) *
            Math.exp(-second * decay) *
            Math.sin(2 * Math.PI * partial * base * second);
        }
  }
  return samples;
}

/** What the ear's process took of the system: processor time in ms, and its greatest memory in MiB; NaN where that is not told. */
function taken(pid) {
  const stat = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1].split(' ');
  const peak = /VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'));
  return { ms: (Number(stat[11]) + Number(stat[12])) * tickMs, mib: Number(peak[1]) / 1024 };
}

const earPid = () =>
  Number(
    execFileSync('pgrep', ['-P', String(process.pid), '-f', 'ear/process'], { encoding: 'utf8' }).trim(),
  );

/** A click and a bass on each beat of 240 a minute, of the next second, as the built-in sound would make them. */
function nextSecond(from) {
  return [0, 250, 500, 750].flatMap((ms) => [
    { ms: from + ms, voice: 0, note: ms === 0 ? 76 : 77, velocity: 90, length: 50 },
    { ms: from + ms, voice: 1, note: 31 + (ms / 250) * 2, velocity: 92, length: 230 },
  ]);
}

/** Has the ear listen to a file, and tells it of own sounds where that is asked for; answers what that took. */
function listening(path, seconds, own = false) {
  return new Promise((resolve, reject) => {
    const begun = hrtimeMs();
    const delays = [];
    let strokes = 0;
    let announcing;
    const ear = openEar({
      from: { kind: 'file', path },
      onMessage: (message) => {
        if (message.kind === 'opened' && own) {
          ear.setDelay(60);
          let next = hrtimeMs() + 500;
          announcing = setInterval(() => {
            ear.announce(nextSecond(next), next);
            next += 1000;
          }, 1000);
        }
        if (message.kind === 'onset') delays.push(hrtimeMs() - message.ms);
        else if (message.kind === 'stroke') strokes += 1;
        else if (message.kind === 'failed' || message.kind === 'died') reject(new Error(message.sentence));
        else if (message.kind === 'ended') {
          clearInterval(announcing);
          const { ms, mib } = taken(earPid());
          const sorted = delays.sort((one, other) => one - other);
          const share = (100 * ms) / (hrtimeMs() - begun);
          ear.quit().then(() =>
            resolve({
              share,
              mib,
              strokes,
              p50: median(sorted),
              p99: sorted[Math.floor(0.99 * sorted.length)],
            }),
          );
        }
      },
    });
    setTimeout(() => reject(new Error('the ear never came to the end')), 1000 * (seconds + 30)).unref();
  });
}

/** A minute of music at 240 beats a minute, as the player is sent it. */
function music() {
  const text = `title: Ear Bench\nkey: A\ntempo: 240\nsections:\n  V: |\n${'    1 (1 4) 5 6-\n'.repeat(16)}`;
  const reading = readChart(new TextEncoder().encode(text));
  if (!reading.ok) throw new Error('the chart does not read');
  const { score } = arrange(reading.value, { key: reading.value.key, instrument: mandolin, share: 1 });
  return begin({ score, passes: null, share: 1, countIn: 0 }, 0, 0).segments;
}

/** How late the player's messages are while it plays dense clicks to nowhere, ms. */
function playerLateness(seconds) {
  return new Promise((resolve) => {
    const player = new PlayerClient((message) => {
      if (message.kind === 'opened') {
        player.append(music());
        player.send({ kind: 'play', tick: 0 });
        setTimeout(() => player.send({ kind: 'lateness' }), 1000 * seconds - 200);
      } else if (message.kind === 'lateness') player.quit().then(() => resolve(message.report));
    });
    player.open([{ kind: 'none' }]);
  });
}

/** The figures of listening. */
export async function benchEar(quick) {
  const seconds = quick ? 5 : 60;
  const folder = mkdtempSync(join(tmpdir(), 'barkline-bench-'));
  const figures = {};
  try {
    const rows = [];
    let path = '';
    const kinds = [...(quick ? [44_100] : rates).map((rate) => [rate, false]), [48_000, true]];
    for (const [rate, own] of kinds) {
      path = join(folder, `${rate}.wav`);
      const sound = wavSamples(playing(seconds, rate));
      writeFileSync(path, Buffer.concat([wavHeader(rate, sound.length), sound]));
      const { share, mib, strokes, p50, p99 } = await listening(path, seconds, own);
      rows.push({
        rate,
        'own sounds': own ? 'click and bass' : '',
        strokes,
        'processor %': share.toFixed(1),
        'MiB at most': mib.toFixed(0),
        'onset told after, p50 ms': p50.toFixed(0),
        'p99 ms': p99.toFixed(0),
        well: share <= goals.processor && mib <= goals.memory && p99 <= goals.onset ? 'yes' : 'no',
      });
      const name = own ? `${rate} with own sounds` : rate;
      Object.assign(figures, { [`share ${name}`]: share, [`MiB ${name}`]: mib, [`p99 ${name}`]: p99 });
    }
    console.log(
      `listening to ${seconds} s (a start of 0.1 s of processor time in it); goals: ${goals.processor} %, ${goals.memory} MiB, ${goals.onset} ms`,
    );
    console.table(rows);
    const without = await playerLateness(seconds / 3);
    const [beside] = await Promise.all([playerLateness(seconds / 3), listening(path, seconds)]);
    console.log('the player’s lateness, ms');
    console.table({ alone: without, 'beside the ear': beside });
    Object.assign(figures, { 'late alone': without.p99, 'late beside': beside.p99 });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  return figures;
}
