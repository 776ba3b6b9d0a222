import { tempoLimits } from '../chart/change.js';
import { type Chart, quarterTempo, type Tempo } from '../chart/chart.js';
import type { BassLine } from '../chart/level.js';
import type { OutSpec } from '../player/messages.js';
import { parseOut } from '../player/out-spec.js';
import { type Key, parseKey } from '../theory/key.js';
import type { ClickKind } from '../time/click-kinds.js';
import type { MelodyWord } from '../time/melody.js';
import { exit, Stop } from './exit.js';

/** The options of `play`, as commander gives them. */
export interface PlayFlags {
  /** Bars in place of a file, and their meter. */
  readonly bars?: string;
  readonly meter?: string;
  readonly key?: string;
  readonly tempo?: string;
  readonly from?: string;
  readonly loop?: string;
  readonly passes?: number;
  readonly countIn?: number;
  /** Several outputs sound at once. */
  readonly out?: readonly string[] | string;
  readonly toTempo?: string;
  readonly over?: number;
  readonly pattern?: string;
  readonly bass?: BassLine;
  readonly click?: ClickKind;
  readonly gaps?: string;
  readonly accents?: boolean;
  readonly voices?: string;
  readonly melody?: MelodyWord;
  /** The singer in whose key and octave it is. */
  readonly for?: string;
  readonly sendClock?: boolean;
  readonly follow?: string;
  readonly stats?: boolean;
  /** Takes up a run of a set that was broken off. */
  readonly resume?: boolean;
  /** Where pedals are listened for. */
  readonly pedal?: string;
  /** It listens: to which microphone, and where what is heard is kept. */
  readonly listen?: boolean;
  readonly microphone?: string;
  readonly keep?: string;
  readonly plain?: boolean;
  readonly unicode?: boolean;
  /** Whose diary and settings. */
  readonly who?: string;
}

/** Reads a key from the command line. */
export function keyFlag(text: string): Key {
  const key = parseKey(text);
  if (key.ok) return key.value;
  throw new Stop(exit.call, `--key ${key.fault.message}`);
}

/** Reads `--out`. */
export function outFlag(text: string): OutSpec {
  const out = parseOut(text);
  if (out.ok) return out.value;
  throw new Stop(exit.call, `--out ${out.fault.message}`, 'barkline ports lists the outputs that work now');
}

/** Reads `--tempo N` or `--tempo N%` as beats a minute of the chart's own count. */
export function tempoFlag(text: string, tempo: Tempo, name = 'tempo'): number {
  const match = /^(\d+(?:\.\d+)?)(%?)$/.exec(text);
  const bpm = match?.[2] ? (tempo.bpm * Number(match[1])) / 100 : Number(match?.[1]);
  if (match && bpm >= tempoLimits.least && bpm <= tempoLimits.most) return bpm;
  throw new Stop(
    exit.call,
    `--${name} “${text}” is not a tempo from ${tempoLimits.least} to ${tempoLimits.most}`,
    `write --${name} 140, or a percentage of the chart’s tempo: --${name} 75%`,
  );
}

/** Reads `--loop A-B`, bars from 1, both played; answers a half-open range from 0. */
export function loopFlag(text: string, bars: number): { from: number; to: number } {
  const match = /^(\d+)-(\d+)$/.exec(text);
  const from = Number(match?.[1]);
  const to = Number(match?.[2]);
  if (match && from >= 1 && from <= to && to <= bars) return { from: from - 1, to };
  throw new Stop(exit.call, `--loop “${text}” is not a range of bars within 1-${bars}`, 'write --loop 5-8');
}

/** The share of its own tempo that a chart is played at when it is counted at `bpm`. */
export function shareOf(chart: Chart, bpm: number): number {
  return quarterTempo({ ...chart.tempo, bpm }) / quarterTempo(chart.tempo);
}
