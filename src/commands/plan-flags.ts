import { existsSync } from 'node:fs';
import { didYouMean } from '../base/nearest.js';
import { safeText } from '../base/safe-text.js';
import { Faults } from '../chart/fault.js';
import { parseYaml } from '../chart/yaml-source.js';
import { Oversized, readInput, Unreadable } from '../config/files.js';
import type { Settings } from '../config/settings.js';
import { type Finger, fingerNames } from '../hand/fingering.js';
import { type HomeWish, parseHome } from '../hand/home.js';
import { type PlanOptions, usualPlan } from '../hand/plan.js';
import { hands, type PlayerHand } from '../hand/player-hand.js';
import { fingerByName, readHand } from '../hand/read-hand.js';
import { exit, Stop, say } from './exit.js';
import { count, faultText } from './load.js';
import { planOf } from './settings.js';

/** The options of a plan, as commander gives them. */
export interface PlanFlags {
  readonly key?: string;
  readonly instrument?: string;
  readonly hand?: string;
  readonly without?: string;
  readonly reach?: number;
  readonly frets?: string;
  readonly home?: string;
  readonly start?: string;
  readonly hold?: PlanOptions['hold'];
  readonly least?: PlanOptions['least'];
  readonly voicings?: PlanOptions['voicings'];
  readonly open?: boolean;
  readonly explain?: boolean;
  readonly json?: boolean;
  readonly unicode?: boolean;
}

/** Reads how a plan is to be made: by the flags, else by the settings. */
export function planOptions(flags: PlanFlags, settings: Settings): PlanOptions {
  const usual = planOf(settings);
  const range = fretRange(flags.frets);
  return {
    ...usual,
    hand: handOf(flags, usual.hand),
    hold: flags.hold ?? 'steady',
    least: flags.least ?? 'total',
    voicings: flags.voicings ?? 'stock',
    start: startOf(flags.start),
    home: flags.home === undefined ? usual.home : homeOf(flags.home),
    open: flags.open ?? false,
    ...range,
  };
}

function handOf(flags: PlanFlags, usual: PlayerHand): PlayerHand {
  const base = flags.hand === undefined ? usual : namedHand(flags.hand);
  const without = flags.without === undefined ? base.without : flags.without.split(',').map(fingerOf);
  const { reach } = flags;
  if (reach === undefined) return { ...base, without };
  const spans = Object.fromEntries(
    Object.entries(base.spans).map(([pair, mm]) => [pair, Math.min(mm, reach)]),
  ) as unknown as PlayerHand['spans'];
  return { ...base, without, spans };
}

/** A built-in hand by name, or a file of the user's own. */
function namedHand(wanted: string): PlayerHand {
  const known = hands.find((one) => one.name === wanted);
  if (known) return known;
  const names = hands.map((one) => one.name);
  if (!existsSync(wanted))
    throw new Stop(
      exit.call,
      `--hand “${safeText(wanted)}” is not a hand${didYouMean(wanted, names)}`,
      `there are ${names.join(', ')}, or name a file`,
    );
  const faults = new Faults();
  const bytes = readHandFile(wanted);
  const hand = readHand(parseYaml(bytes, faults)?.entries ?? [], faults);
  const lines = new TextDecoder().decode(bytes).split('\n');
  for (const fault of faults.sorted()) say(...faultText({ file: wanted, lines }, fault));
  if (faults.failed)
    throw new Stop(
      exit.input,
      `${safeText(wanted)} has ${count(faults.sorted())}`,
      'correct the errors above',
    );
  return hand;
}

function readHandFile(path: string): Uint8Array {
  try {
    return readInput(path);
  } catch (error) {
    if (!(error instanceof Unreadable)) throw error;
    const status = error instanceof Oversized ? exit.input : exit.call;
    throw new Stop(
      status,
      safeText(error.message),
      `--hand is one of ${hands.map(({ name }) => name).join(', ')}, or a file`,
    );
  }
}

function fingerOf(text: string): Finger {
  const finger = fingerByName(text);
  if (finger !== null) return finger;
  const names = fingerNames.slice(1) as string[];
  throw new Stop(
    exit.call,
    `--without “${safeText(text)}” is not a finger${didYouMean(text, names)}`,
    `fingers are ${names.join(', ')}`,
  );
}

function fretRange(text: string | undefined): { lowestFret: number; highestFret: number } {
  if (text === undefined) return { lowestFret: usualPlan.lowestFret, highestFret: usualPlan.highestFret };
  const match = /^(\d{1,2})-(\d{1,2})$/.exec(text);
  const [low, high] = [Number(match?.[1]), Number(match?.[2])];
  if (match && low >= 1 && low < high && high <= 24) return { lowestFret: low, highestFret: high };
  throw new Stop(exit.call, `--frets “${text}” is not a range of frets`, 'write --frets 1-9');
}

function homeOf(text: string): HomeWish {
  const read = parseHome(text);
  if (read.ok) return read.value;
  throw new Stop(exit.call, `--home ${read.fault.message}`, 'write --home low, --home high or --home 5-9');
}

function startOf(text: string | undefined): string | null {
  if (text === undefined) return null;
  if (/^(?:\d{1,2}|x)(?:-(?:\d{1,2}|x)){2,7}$/.test(text)) return text;
  throw new Stop(
    exit.call,
    `--start “${text}” is not a shape`,
    'write its frets, bass side first: --start 9-7-4-5',
  );
}
