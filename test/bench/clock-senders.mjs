// The systems that the clock's benchmark compares. Each sends the same music into a pipe and answers when it is through.
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { scheduleOf } from './clock-music.mjs';
import {
  cleanEnv,
  here,
  isRealTime,
  niceOf,
  pause,
  playerOf,
  program,
  Screen,
  start,
  until,
} from './clock-tools.mjs';

/** What the built program can be told beyond the plain call, by its own help. */
export function flagsOf() {
  const help = execFileSync(process.execPath, [program, 'play', '--help'], { encoding: 'utf8' });
  const has = (flag) => new RegExp(`^\\s*${flag}\\b`, 'm').test(help);
  return { clock: has('--send-clock'), voices: has('--voices'), stats: has('--stats') };
}

/** Everything a run needs: the music, the folder it works in, and the files made of the music. */
export function prepare(folder, music, flags) {
  const chart = join(folder, 'chart.yaml');
  writeFileSync(chart, music.text);
  const schedule = scheduleOf(music);
  const job = (name, pipe) => {
    const path = join(folder, `${name}.json`);
    const { bpm, msPerTick } = music;
    writeFileSync(path, JSON.stringify({ chart, bpm, msPerTick, pipe, schedule }));
    return path;
  };
  return { folder, music, chart, flags, schedule, job };
}

/** The words of the program's own call. */
export function playWords({ chart, music, flags }, pipe, ...more) {
  const words = [
    'play',
    chart,
    '--out',
    `raw:${pipe}`,
    '--tempo',
    String(music.bpm),
    '--passes',
    String(music.passes),
  ];
  if (flags.clock) words.push('--send-clock');
  if (flags.voices) words.push('--voices', 'all');
  return [program, ...words, ...more];
}

/** `barkline play --plain`. Answers the priority of its player. */
export async function plain(run, pipe) {
  const playing = start(process.execPath, playWords(run, pipe, '--plain'), {
    env: cleanEnv(run.folder),
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  await until('the player', () => playing.texts.err.includes('playing to:'));
  const player = playerOf(playing.child.pid);
  const nice = niceOf(player);
  const realTime = isRealTime(player);
  const { code, err } = await playing.done;
  if (code !== 0) throw new Error(`barkline play ended with ${code}: ${err}`);
  return { nice, realTime };
}

/** The stand in a terminal, playing and redrawing. */
export async function onStand(run, pipe) {
  const screen = new Screen([process.execPath, ...playWords(run, pipe)], cleanEnv(run.folder));
  await screen.shows(/ ready /);
  const nice = niceOf(playerOf(screen.pid()));
  screen.press('Space');
  // The screen is not looked at while it plays: looking is work for the machine.
  await pause(run.music.ms + 500);
  await screen.shows(/ ready /);
  screen.press('q');
  await pause(300);
  screen.close();
  return { nice };
}

/** A plain timer in a program that draws the same stand with Ink in the same process. */
export async function inkTimer(run, pipe) {
  const screen = drawing(run, pipe);
  await screen.shows(/ count | pass /);
  await pause(run.music.ms + 1500);
  screen.close();
  return {};
}

/** Only the stand's drawing, beside something else. Answers how to end it. */
export async function drawOnly(run) {
  const screen = drawing(run, null);
  await screen.shows(/ pass /);
  return () => screen.close();
}

function drawing(run, pipe) {
  const job = run.job(pipe === null ? 'drawing' : 'timer', pipe);
  return new Screen([process.execPath, here('ink-timer.mjs'), job], cleanEnv(run.folder));
}

/** Starts a program with what the player had: a session of its own, since a priority holds within it, and real time. */
function startLikePlayer(realTime, command, words, options = {}) {
  const [first, ...rest] = [...(realTime ? ['chrt', '--fifo', '1'] : []), command, ...words];
  return start(first, rest, { ...options, detached: true }).done;
}

/** Absolute sleeps of the C library at a given priority. Answers when, in ms, each deadline's bytes were handed over. */
export async function floor(run, pipe, compiled, { nice, realTime }) {
  const input = run.schedule.map(({ ms, hex }) => `${Math.round(ms * 1e6)} ${hex}\n`).join('');
  const { code, out, err } = await startLikePlayer(realTime, compiled, [pipe, String(nice ?? 0)], {
    input,
  });
  if (code !== 0) throw new Error(`the floor ended with ${code}: ${err}`);
  const [first, ...sent] = out.trimEnd().split('\n');
  return { nice: Number(first.slice('nice '.length)), sent: sent.map((line) => Number(line) / 1e6) };
}

/** A bare loop in a Node process, which does nothing but wait and write. */
export async function bareLoop(run, pipe, { nice, realTime }) {
  const words = [here('clock-bare.mjs'), run.job('bare', pipe), String(nice ?? 0)];
  const { code, err } = await startLikePlayer(realTime, process.execPath, words);
  if (code !== 0) throw new Error(`the bare loop ended with ${code}: ${err}`);
  return {};
}
