import { didYouMean } from '../base/nearest.js';
import { type Finger, fingerNames } from '../hand/fingering.js';
import { type PlanOptions, usualPlan } from '../hand/plan.js';
import { hands, type PlayerHand, usualHand } from '../hand/player-hand.js';
import { exit, Stop } from './exit.js';
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
  readonly json?: boolean;
  readonly unicode?: boolean;
}

/** Reads how a plan is to be made. */
export function planOptions(flags: PlanFlags): PlanOptions {
  const range = fretRange(flags.frets);
  return {
    ...usualPlan,
    hand: handOf(flags),
    hold: oneOf('hold', flags.hold, ['steady', 'free']),
    least: oneOf('least', flags.least, ['total', 'hardest']),
    voicings: oneOf('voicings', flags.voicings, ['stock', 'any']),
    start: startOf(flags.start),
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

function handOf(flags: PlanFlags): PlayerHand {
  const base = flags.hand === undefined ? usualHand : hands.find((one) => one.name === flags.hand);
  if (!base)
    throw new Stop(
      exit.call,
      `--hand “${flags.hand}” is no hand${didYouMean(
        flags.hand ?? '',
        hands.map((one) => one.name),
      )}`,
      `there are ${hands.map((one) => one.name).join(', ')}`,
    );
  const without = (flags.without?.split(',') ?? []).map(fingerOf);
  if (flags.reach === undefined) return { ...base, without };
  const reach = wholeFlag('reach', flags.reach, 20, 200);
  const spans = Object.fromEntries(
    Object.entries(base.spans).map(([pair, mm]) => [pair, Math.min(mm, reach)]),
  ) as unknown as PlayerHand['spans'];
  return { ...base, without, spans };
}

function fingerOf(text: string): Finger {
  const names = fingerNames.slice(1) as string[];
  const index = names.indexOf(text.trim());
  if (index >= 0) return (index + 1) as Finger;
  throw new Stop(
    exit.call,
    `--without “${text}” is no finger${didYouMean(text, names)}`,
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
