import { existsSync } from 'node:fs';
import { didYouMean } from '../base/nearest.js';
import { safeText } from '../base/safe-text.js';
import { Faults } from '../chart/fault.js';
import { parseYaml } from '../chart/yaml-source.js';
import { Oversized, readInput, Unreadable } from '../config/files.js';
import { readSettings, type Settings } from '../config/settings.js';
import { type Finger, fingerNames } from '../hand/fingering.js';
import { type PlanOptions, usualPlan } from '../hand/plan.js';
import { hands, type PlayerHand } from '../hand/player-hand.js';
import { fingerByName, readHand } from '../hand/read-hand.js';
import { exit, Stop, say } from './exit.js';
import { count, faultText } from './load.js';
import { wholeFlag } from './play-options.js';

/** What a plan can be told, as commander gives it. */
export interface PlanFlags {
  readonly key?: string;
  readonly instrument?: string;
  readonly hand?: string;
  readonly without?: string;
  readonly reach?: string;
  readonly frets?: string;
  readonly start?: string;
  readonly hold?: string;
  readonly least?: string;
  readonly voicings?: string;
  readonly open?: boolean;
  readonly explain?: boolean;
  readonly json?: boolean;
  readonly unicode?: boolean;
}

/** The settings; their faults are told on stderr. */
export function setSettings(): Settings {
  const { settings, faults } = readSettings();
  for (const fault of faults) say(safeText(fault));
  return settings;
}

/** What the settings say about the hand. */
export function planOf(settings: Settings): PlanOptions {
  return { ...usualPlan, hand: settings.hand, prices: settings.prices, shapes: settings.shapes };
}

/** What the settings, read now, say about the hand. */
export function setPlan(): PlanOptions {
  return planOf(setSettings());
}

/** Reads how a plan is to be made. */
export function planOptions(flags: PlanFlags): PlanOptions {
  const set = setPlan();
  const range = fretRange(flags.frets);
  return {
    ...set,
    hand: handOf(flags, set.hand),
    hold: oneOf('hold', flags.hold, ['steady', 'free']),
    least: oneOf('least', flags.least, ['total', 'hardest']),
    voicings: oneOf('voicings', flags.voicings, ['stock', 'any']),
    start: startOf(flags.start),
    open: flags.open ?? false,
    ...range,
  };
}

function oneOf<T extends string>(name: string, text: string | undefined, known: readonly [T, ...T[]]): T {
  if (text === undefined) return known[0];
  const found = known.find((one) => one === text);
  if (found) return found;
  throw new Stop(
    exit.call,
    `--${name} “${text}” is not known${didYouMean(text, known)}`,
    `it is ${known.join(' or ')}`,
  );
}

function handOf(flags: PlanFlags, set: PlayerHand): PlayerHand {
  const base = flags.hand === undefined ? set : namedHand(flags.hand);
  const without = flags.without === undefined ? base.without : flags.without.split(',').map(fingerOf);
  if (flags.reach === undefined) return { ...base, without };
  const reach = wholeFlag('reach', flags.reach, 20, 200);
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
      `--hand “${safeText(wanted)}” is no hand${didYouMean(wanted, names)}`,
      `there are ${names.join(', ')}, or name a file`,
    );
  const faults = new Faults();
  const bytes = readHandFile(wanted);
  const hand = readHand(parseYaml(bytes, faults)?.entries ?? [], faults);
  const lines = new TextDecoder().decode(bytes).split('\n');
  for (const fault of faults.sorted()) say(...faultText({ file: wanted, lines }, fault));
  if (faults.failed)
    throw new Stop(exit.input, `${safeText(wanted)} has ${count(faults.sorted())}`, 'mend what stands above');
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
    `--without “${safeText(text)}” is no finger${didYouMean(text, names)}`,
    `fingers are ${names.join(', ')}`,
  );
}

function fretRange(text: string | undefined): { lowestFret: number; highestFret: number } {
  if (text === undefined) return { lowestFret: usualPlan.lowestFret, highestFret: usualPlan.highestFret };
  const match = /^(\d{1,2})-(\d{1,2})$/.exec(text);
  const [low, high] = [Number(match?.[1]), Number(match?.[2])];
  if (match && low >= 1 && low < high && high <= 24) return { lowestFret: low, highestFret: high };
  throw new Stop(exit.call, `--frets “${text}” is no range of frets`, 'write --frets 1-9');
}

function startOf(text: string | undefined): string | null {
  if (text === undefined) return null;
  if (/^(?:\d{1,2}|x)(?:-(?:\d{1,2}|x)){2,7}$/.test(text)) return text;
  throw new Stop(
    exit.call,
    `--start “${text}” is no shape`,
    'write its frets, bass side first: --start 9-7-4-5',
  );
}
