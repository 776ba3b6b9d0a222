// npm run soak -- --minutes 30 [--busy 2] [--quick]
// --busy keeps so many cores busy beside it; --quick plays for a few seconds, and judges only that everything works.
// Plays plainly for a long time: does the player's memory grow, does its clock go astray, is anything missed?
import { latenessOf, median, slope } from './clock-lateness.mjs';
import { lengthOf, music } from './clock-music.mjs';
import { flagsOf, playWords, prepare } from './clock-senders.mjs';
import {
  cleanEnv,
  compile,
  flag,
  keepBusy,
  openPipe,
  option,
  pause,
  playerOf,
  residentKiB,
  start,
  until,
  workFolder,
} from './clock-tools.mjs';

const bpm = 240;
const quick = flag('--quick');
const sampleMs = quick ? 500 : 5000;
/** Memory may grow by this share after the warm-up. */
const mostGrowth = 0.05;

/** Of a few seconds on a machine that does much else so many messages may be missing, as a share. */
const mostMissedQuick = 0.05;

const minutes = option('--minutes', quick ? 0.1 : 30);
/** Until then memory is not judged; a short soak has a shorter one. */
const warmUp = Math.min(1, minutes / 4);

/** Plays to the end; prints how it goes and what it came to. Throws when not all is well. */
export async function benchSoak() {
  const flags = flagsOf();
  const folder = workFolder();
  const busy = option('--busy', 0);
  const run = prepare(folder, music({ ...lengthOf(minutes, bpm), bpm, clock: flags.clock }), flags);
  const pipe = await openPipe(folder, compile('clock-reader', folder), 'poll');
  const words = playWords(run, pipe.path, '--plain', ...(flags.stats ? ['--stats'] : []));
  const options = { env: cleanEnv(folder), stdio: ['ignore', 'ignore', 'pipe'] };
  const playing = start(process.execPath, words, options);
  await until(
    'the player',
    () => playing.texts.err.includes('playing to:') || playing.child.exitCode !== null,
  );
  const length = run.music.ms / 60_000;
  console.log(
    `${length.toFixed(1)} minutes at ${bpm} quarters a minute${flags.clock ? ', with MIDI clock' : ''}`,
  );
  const stopLoad = busy > 0 ? keepBusy(busy) : () => {};
  const samples = await watch(playing);
  const { code, err } = await playing.done;
  stopLoad();
  const lateness = latenessOf(await pipe.close(), run.music);
  return tellEnd({ samples, code, err, lateness, length });
}

/** Samples the memory of the player and of its parent until the music ends; prints a line a minute. */
async function watch(playing) {
  const player = playerOf(playing.child.pid);
  const samples = [];
  const begun = Date.now();
  let told = 0;
  while (playing.child.exitCode === null && playing.child.signalCode === null) {
    const at = (Date.now() - begun) / 60_000;
    const sample = { at, player: residentKiB(player), parent: residentKiB(playing.child.pid) };
    if (sample.player !== null && sample.parent !== null) samples.push(sample);
    if (at >= told + 1) {
      told = Math.floor(at);
      console.log(`minute ${told}: player ${sample.player} KiB, its parent ${sample.parent} KiB`);
    }
    await Promise.race([pause(sampleMs), playing.done]);
  }
  return samples;
}

function tellEnd({ samples, code, err, lateness, length }) {
  const grown = growthOf(samples, 'player');
  tellMemory('player', grown);
  tellMemory('its parent', growthOf(samples, 'parent'));
  const { count, p50, p99, max, missed, drift } = lateness;
  const ms = (value) => `${value.toFixed(3)} ms`;
  console.log(
    `arrivals: ${count} deadlines, p50 ${ms(p50)}, p99 ${ms(p99)}, max ${ms(max)}, missed ${missed}`,
  );
  console.log(`drift over ${length.toFixed(1)} minutes: ${ms(drift)}`);
  const own = /^lateness of .*$/m.exec(err)?.[0];
  console.log(
    own ? `the player's own ${own}` : 'the player told nothing of its own lateness (no --stats here)',
  );
  const ownMissed = Number(/(\d+) missed/.exec(own ?? '')?.[1] ?? 0);
  const faults = [
    code === 0 ? null : `play ended with ${code}: ${err.trim()}`,
    grown && (quick || grown.share <= mostGrowth)
      ? null
      : 'the memory of the player grew, or could not be seen',
    [p50, p99, max, drift].every(Number.isFinite) ? null : 'there are no figures',
    missed + ownMissed <= (quick ? mostMissedQuick * count : 0)
      ? null
      : `missed: ${missed} never came, ${ownMissed} by the player's own count`,
  ].filter((fault) => fault !== null);
  if (faults.length > 0) throw new Error(faults.join('; '));
  console.log('all is well');
  return { p50, p99, max, drift, 'memory at the end, KiB': grown.to };
}

/** What memory was after the warm-up and at the end, as medians over as long as the warm-up took, and its slope between. */
function growthOf(samples, who) {
  const judged = samples.filter((sample) => sample.at >= warmUp);
  const end = judged.at(-1)?.at ?? 0;
  const first = judged.filter((sample) => sample.at < 2 * warmUp).map((sample) => sample[who]);
  const last = judged.filter((sample) => sample.at > end - warmUp).map((sample) => sample[who]);
  if (first.length === 0 || last.length === 0) return null;
  const [from, to] = [median(first), median(last)];
  const perMinute = judged.length > 1 ? slope(judged.map((sample) => [sample.at, sample[who]])) : 0;
  return { from, to, share: to / from - 1, perMinute };
}

function tellMemory(who, grown) {
  if (!grown) return;
  const { from, to, share, perMinute } = grown;
  const change = `${(share * 100).toFixed(1)} %`;
  console.log(
    `memory of ${who}: ${from} KiB after ${warmUp.toFixed(1)} min, ${to} KiB at the end (${change}), ${perMinute.toFixed(1)} KiB a minute`,
  );
}
