import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type MidiData, writeMidi } from 'midi-file';

/** A stroke of a performance: when (ms), which notes (MIDI), how loud (1–127), how long each rings (ms), how far apart its courses are struck (ms). */
export interface Stroke {
  readonly at: number;
  readonly notes: readonly number[];
  readonly velocity: number;
  readonly length: number;
  readonly spread?: number;
  /** Struck from the highest note. */
  readonly up?: boolean;
}

/** Bank and program of the general MIDI sound font of Debian's fluid-soundfont-gm. */
export const instruments = {
  mandolin: { bank: 16, program: 25 },
  banjo: { bank: 0, program: 105 },
  ukulele: { bank: 8, program: 24 },
} as const;

export const soundFont = '/usr/share/sounds/sf2/FluidR3_GM.sf2';
/** Samples a second of what is rendered. */
export const rate = 44_100;

/** Why nothing can be rendered here, in a few words; null when it can. */
export function renderable(): string | null {
  if (spawnSync('fluidsynth', ['--version'], { stdio: 'ignore' }).status !== 0)
    return 'fluidsynth is not installed';
  return existsSync(soundFont) ? null : `there is no ${soundFont}`;
}

/** What fluidsynth makes of strokes, mono. A tick of the file is a tenth of a millisecond. */
export function rendered(
  strokes: readonly Stroke[],
  instrument: { bank: number; program: number } = instruments.mandolin,
): Float32Array {
  const events = strokes.flatMap(({ at, notes, velocity, length, spread = 4, up = false }) => {
    const order = up ? [...notes].reverse() : notes;
    return order.flatMap((noteNumber, index) => {
      const start = at + (order.length > 1 ? (index * spread) / (order.length - 1) : 0);
      return [
        { tick: Math.round(start * 10), on: true, noteNumber, velocity },
        { tick: Math.round((at + length) * 10), on: false, noteNumber, velocity: 0 },
      ];
    });
  });
  events.sort((one, other) => one.tick - other.tick || Number(one.on) - Number(other.on));
  let before = 0;
  const track: MidiData['tracks'][number] = [
    { deltaTime: 0, type: 'setTempo', microsecondsPerBeat: 1_000_000, meta: true },
    { deltaTime: 0, type: 'controller', controllerType: 0, value: instrument.bank, channel: 0 },
    { deltaTime: 0, type: 'programChange', programNumber: instrument.program, channel: 0 },
    ...events.map(({ tick, on, noteNumber, velocity }) => {
      const deltaTime = tick - before;
      before = tick;
      return { deltaTime, type: on ? 'noteOn' : 'noteOff', noteNumber, velocity, channel: 0 } as const;
    }),
    { deltaTime: 5000, type: 'endOfTrack', meta: true },
  ];
  const folder = mkdtempSync(join(tmpdir(), 'rendered-'));
  try {
    const midi = join(folder, 'in.mid');
    const raw = join(folder, 'out.raw');
    writeFileSync(
      midi,
      Uint8Array.from(
        writeMidi({ header: { format: 0, numTracks: 1, ticksPerBeat: 10_000 }, tracks: [track] }),
      ),
    );
    execFileSync(
      'fluidsynth',
      [
        '-ni',
        '-q',
        '-R',
        '0',
        '-C',
        '0',
        '-g',
        '0.8',
        '-r',
        String(rate),
        '-o',
        'synth.midi-bank-select=gs',
        '-T',
        'raw',
        '-O',
        's16',
        '-F',
        raw,
        soundFont,
        midi,
      ],
      { stdio: 'ignore' },
    );
    const bytes = readFileSync(raw);
    return Float32Array.from(
      { length: Math.floor(bytes.length / 4) },
      (_, index) => (bytes.readInt16LE(4 * index) + bytes.readInt16LE(4 * index + 2)) / 65_536,
    );
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
