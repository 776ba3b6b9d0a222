// A mandolin player who plays exactly what the program says, heard by a microphone: reads MIDI from one pipe, and writes what sounds into another.
//   node test/e2e/robot-hand.mjs MIDI-PIPE SOUND-PIPE [--late MS] [--jitter MS] [--way MS] [--seed N]
// The low notes and chops of channels 1 and 2 are played, `way` ms later as of any microphone, `late` ms late, each by `jitter` ms beside
// that. Play with --voices click,bass,low,chop --out raw:MIDI-PIPE --microphone raw:SOUND-PIPE. Lines on standard input change it while it plays:
// `late 40`, `jitter 12`, `shift 2` (half steps: a wrong chord), `ring 1` (nothing is stopped), `mute 1` (`low 0`, `chop 0`: nothing of those), `gain 8` (what is louder
// than full scale is cut off), `noise 0.05`, `other 7` (so many strokes a second of somebody else),
// `at 9 shift 2` (that, when the ninth stroke from now on is played), `quit`.
import { execFileSync } from 'node:child_process';
import { constants, mkdtempSync, openSync, readFileSync, rmSync, writeFileSync, writeSync } from 'node:fs';
import { Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { parseArgs } from 'node:util';
import { writeMidi } from 'midi-file';

const rate = 48_000;
const lowest = 40;
const highest = 92;
/** What is rendered of each note, and from one to the next, seconds. */
const noteSeconds = 1.2;
/** A string that is stopped is still after so long, seconds. */
const stopSeconds = 0.012;
const blockMs = 10;

const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: {
    late: { type: 'string', default: '0' },
    jitter: { type: 'string', default: '0' },
    way: { type: 'string', default: '0' },
    seed: { type: 'string', default: '1' },
  },
});
const [midiPath, soundPath] = positionals;
if (!midiPath || !soundPath) {
  console.error('usage: robot-hand.mjs MIDI-PIPE SOUND-PIPE');
  process.exit(2);
}
const state = {
  late: Number(values.late),
  jitter: Number(values.jitter),
  shift: 0,
  ring: 0,
  mute: 0,
  low: 1,
  chop: 1,
  gain: 1,
  noise: 1e-3,
  other: 0,
};
const way = Number(values.way);

/** Each note of the mandolin of the general MIDI sound font, as fluidsynth renders it. */
function renderNotes() {
  const folder = mkdtempSync(join(tmpdir(), 'robot-hand-'));
  try {
    const [file, wav] = [join(folder, 'notes.mid'), join(folder, 'notes.raw')];
    const events = [
      { deltaTime: 0, type: 'setTempo', microsecondsPerBeat: 1_000_000, meta: true },
      { deltaTime: 0, type: 'controller', controllerType: 0, value: 16, channel: 0 },
      { deltaTime: 0, type: 'programChange', programNumber: 25, channel: 0 },
    ];
    for (let note = lowest; note <= highest; note += 1) {
      events.push({ deltaTime: 0, type: 'noteOn', noteNumber: note, velocity: 90, channel: 0 });
      events.push({
        deltaTime: noteSeconds * 1000,
        type: 'noteOff',
        noteNumber: note,
        velocity: 0,
        channel: 0,
      });
    }
    events.push({ deltaTime: 0, type: 'endOfTrack', meta: true });
    writeFileSync(
      file,
      Buffer.from(writeMidi({ header: { format: 0, numTracks: 1, ticksPerBeat: 1000 }, tracks: [events] })),
    );
    const font = '/usr/share/sounds/sf2/FluidR3_GM.sf2';
    execFileSync(
      'fluidsynth',
      [
        '-ni',
        '-g',
        '0.8',
        '-r',
        String(rate),
        '-R',
        '0',
        '-C',
        '0',
        '-T',
        'raw',
        '-O',
        'float',
        '-F',
        wav,
        font,
        file,
      ],
      {
        stdio: 'ignore',
      },
    );
    const bytes = readFileSync(wav);
    const stereo = new Float32Array(bytes.buffer, bytes.byteOffset, bytes.length >> 2);
    return Array.from({ length: highest - lowest + 1 }, (_, index) => {
      const from = Math.round(index * noteSeconds * rate);
      return Float32Array.from(
        { length: Math.round(noteSeconds * rate) },
        (__, at) => 0.5 * ((stereo[2 * (from + at)] ?? 0) + (stereo[2 * (from + at) + 1] ?? 0)),
      );
    });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

let seed = Number(values.seed);
function random() {
  seed = (seed * 1_103_515_245 + 12_345) % 2_147_483_648;
  return seed / 2_147_483_648;
}
/** About normal, of spread 1. */
const normal = () => Array.from({ length: 12 }, random).reduce((sum, one) => sum + one, -6);

const notes = renderNotes();
const sounding = [];
const now = () => Number(process.hrtime.bigint()) / 1e6;
/** Strokes so far, and what is to change with which. */
let strokes = 0;
const plans = [];
let strike = { at: Number.NEGATIVE_INFINITY, beside: 0 };

function play(status, note, velocity, at) {
  const channel = status & 15;
  if (channel > 1) return;
  const isOn = (status & 0xf0) === 0x90 && velocity > 0;
  if (!isOn) {
    for (const one of sounding)
      if (one.note === note && one.channel === channel && one.end === null && !state.ring)
        one.end = at + one.beside;
    return;
  }
  if (state.mute || (channel === 0 ? state.low : state.chop) === 0) return;
  // All courses of a stroke are as late as its first.
  if (at - strike.at > 25) {
    strokes += 1;
    for (const one of plans.filter(({ stroke }) => stroke === strokes)) state[one.word] = one.value;
  }
  if (at - strike.at > 25)
    strike = { at, beside: way + state.late + state.jitter * Math.max(-2.5, Math.min(2.5, normal())) };
  const samples = notes[note + state.shift - lowest];
  if (samples)
    sounding.push({
      note,
      channel,
      samples,
      gain: velocity / 100,
      begin: at + strike.beside,
      beside: strike.beside,
      end: null,
    });
}

let running = 0;
let pending = [];
function midi(bytes, at) {
  for (const byte of bytes) {
    if (byte >= 0xf8) continue;
    if (byte & 0x80) {
      running = byte;
      pending = [];
      continue;
    }
    pending.push(byte);
    const kind = running & 0xf0;
    const length = kind === 0xc0 || kind === 0xd0 ? 1 : 2;
    if (pending.length < length) continue;
    if (kind === 0x90 || kind === 0x80)
      play(kind === 0x80 ? 0x80 | (running & 15) : running, pending[0], pending[1], at);
    pending = [];
  }
}

const input = new Socket({
  fd: openSync(midiPath, constants.O_RDWR | constants.O_NONBLOCK),
  readable: true,
  writable: false,
});
input.on('data', (data) => midi(data, now()));
const out = openSync(soundPath, constants.O_RDWR | constants.O_NONBLOCK);

/** Somebody else strums a chord of their own, with no regard to the beat. */
let nextOther = 0;
function others() {
  if (state.other <= 0 || now() < nextOther) return;
  nextOther = now() + (1000 / state.other) * (0.4 + 1.2 * random());
  for (const note of [58, 65, 70, 74]) {
    const samples = notes[note - lowest];
    const begin = now() + 20;
    sounding.push({ note, channel: 9, samples, gain: 0.9, begin, beside: 0, end: begin + 90 });
  }
}

let begin = null;
let written = 0;
function sound() {
  begin ??= now() - blockMs;
  others();
  const due = Math.floor(((now() - begin) / 1000) * rate);
  const count = due - written;
  if (count <= 0) return;
  const block = Float32Array.from({ length: count }, () => 2 * state.noise * (random() - 0.5));
  for (const one of sounding) {
    const from = Math.round(((one.begin - begin) / 1000) * rate);
    const end = one.end === null ? Number.POSITIVE_INFINITY : ((one.end - begin) / 1000) * rate;
    for (let at = Math.max(written, from); at < due; at += 1) {
      const value = one.samples[at - from];
      if (value === undefined) break;
      const left = at < end ? 1 : Math.exp(-(at - end) / ((stopSeconds * rate) / 3));
      block[at - written] += 0.6 * one.gain * left * value;
    }
  }
  for (let index = sounding.length - 1; index >= 0; index -= 1)
    if (now() - sounding[index].begin > 1000 * noteSeconds) sounding.splice(index, 1);
  written = due;
  if (state.gain !== 1)
    for (let at = 0; at < count; at += 1) block[at] = Math.max(-1, Math.min(1, state.gain * block[at]));
  try {
    writeSync(out, Buffer.from(block.buffer));
  } catch {
    // Nobody reads: what is not heard is not kept for later.
  }
}
setInterval(sound, blockMs);
console.log('ready');
createInterface({ input: process.stdin }).on('line', (line) => {
  const [word, value, planned, set] = line.split(' ');
  if (word === 'at') plans.push({ stroke: strokes + Number(value), word: planned, value: Number(set) });
  if (word === 'quit') process.exit(0);
  if (word in state) state[word] = Number(value);
});
