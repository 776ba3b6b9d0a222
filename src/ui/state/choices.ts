import { tempoLimits } from '../../chart/change.js';
import type { KeyedPick, Setup } from '../../playback/setup.js';
import { keyName, parseKey } from '../../theory/key.js';
import { type Click, clickKinds } from '../../time/click.js';
import { voices } from '../../time/event.js';
import { type Pattern, patterns } from '../../time/pattern.js';
import { type Mix, mostLevel } from '../../time/sound.js';
import type { StandStart } from './modes.js';
import { chordNameKinds, layoutKinds, type Sight, usualSight } from './sight.js';

/** How a player wants one chart, as it is kept: plain data that JSON can hold. */
export interface Choices {
  readonly key: string;
  readonly bpm: number;
  readonly countIn: number;
  readonly click: Click;
  /** The pattern's name; `null` leaves it to the chart. */
  readonly pattern: string | null;
  readonly mix: Mix;
  readonly range: Setup['range'];
  readonly sight: Pick<Sight, 'layout' | 'names' | 'hand' | 'ahead'>;
  readonly picks: readonly KeyedPick[];
}

/** How a chart is set up, and what of it is shown. */
export interface Chosen {
  readonly setup: Setup;
  readonly sight: Sight;
}

/** What a player has just chosen otherwise, and nothing else: what a set or the command line wants is not kept as if chosen. */
export function changedChoices(
  { setup: before, sight: seen }: Chosen,
  { setup: after, sight }: Chosen,
): Partial<Choices> | null {
  const { layout, names, hand, ahead } = sight;
  const changed: Partial<Choices> = {
    ...(before.key === after.key ? {} : { key: keyName(after.key) }),
    ...(before.bpm === after.bpm ? {} : { bpm: after.bpm }),
    ...(before.countIn === after.countIn ? {} : { countIn: after.countIn }),
    ...(before.click === after.click ? {} : { click: after.click }),
    ...(before.pattern === after.pattern ? {} : { pattern: after.pattern?.name ?? null }),
    ...(before.mix === after.mix ? {} : { mix: after.mix }),
    ...(before.range === after.range ? {} : { range: after.range }),
    ...(sameSight(seen, sight) ? {} : { sight: { layout, names, hand, ahead } }),
    ...(before.picks === after.picks ? {} : { picks: after.picks }),
  };
  return Object.keys(changed).length === 0 ? null : changed;
}

function sameSight(one: Sight, other: Sight): boolean {
  return (
    one.layout === other.layout &&
    one.names === other.names &&
    one.hand === other.hand &&
    one.ahead === other.ahead
  );
}

/** What of a start the command line or a set has decided already, so that what was kept has no say. */
export type Decided = ReadonlySet<keyof Choices>;

/**
 * A start with what was kept for its chart, as far as that can be used: what is kept comes from a file, and a chart may
 * have become another since.
 */
export function withChoices(start: StandStart, kept: unknown, bars: number, decided: Decided): StandStart {
  if (!isRecord(kept)) return start;
  const { mode } = start.key;
  const free = (name: keyof Choices): unknown => (decided.has(name) ? undefined : kept[name]);
  const key = parseKey(String(free('key') ?? ''));
  const pattern = patternNamed(free('pattern'), start.patterns);
  const range = free('range');
  return {
    ...start,
    ...(key.ok && key.value.mode === mode ? { key: key.value } : {}),
    ...(isWithin(free('bpm'), tempoLimits.least, tempoLimits.most) ? { bpm: free('bpm') as number } : {}),
    ...(isWithin(free('countIn'), 0, 2) ? { countIn: free('countIn') as number } : {}),
    ...(isClick(free('click')) ? { click: free('click') as Click } : {}),
    ...(pattern === undefined ? {} : { pattern }),
    ...(isMix(free('mix')) ? { mix: free('mix') as Mix } : {}),
    ...(isRange(range, bars) ? { range, from: range.from } : {}),
    sight: sightOf(kept.sight),
    picks: picksOf(kept.picks),
  };
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function isWithin(value: unknown, least: number, most: number): value is number {
  return typeof value === 'number' && value >= least && value <= most;
}

function isClick(value: unknown): value is Click {
  if (!isRecord(value)) return false;
  const { kind, accents, gaps } = value;
  const gapsGood =
    gaps === null || (isRecord(gaps) && isWithin(gaps.heard, 1, 64) && isWithin(gaps.silent, 1, 64));
  return clickKinds.some((one) => one.kind === kind) && typeof accents === 'boolean' && gapsGood;
}

function isMix(value: unknown): value is Mix {
  if (!isRecord(value) || !isRecord(value.on) || !isRecord(value.levels)) return false;
  const { on, levels, alone } = value;
  return (
    (alone === null || voices.some((voice) => voice === alone)) &&
    voices.every((voice) => typeof on[voice] === 'boolean' && isWithin(levels[voice], 0, mostLevel))
  );
}

function isRange(value: unknown, bars: number): value is { from: number; to: number } {
  return (
    isRecord(value) &&
    Number.isInteger(value.from) &&
    Number.isInteger(value.to) &&
    isWithin(value.from, 0, bars - 1) &&
    isWithin(value.to, value.from + 1, bars)
  );
}

/** `undefined` where nothing usable is kept, `null` for the chart's own. */
function patternNamed(value: unknown, own: readonly Pattern[]): Pattern | null | undefined {
  if (value === null) return null;
  return [...own, ...patterns].find((one) => one.name === value);
}

function sightOf(value: unknown): Sight {
  if (!isRecord(value)) return usualSight;
  const layout = layoutKinds.find((one) => one === value.layout) ?? usualSight.layout;
  const names = chordNameKinds.find((one) => one === value.names) ?? usualSight.names;
  return { ...usualSight, layout, names, hand: value.hand !== false, ahead: value.ahead !== false };
}

/** The most shapes that are kept for a chart. */
const mostPicks = 200;

function picksOf(value: unknown): readonly KeyedPick[] {
  if (!Array.isArray(value)) return [];
  return value.slice(0, mostPicks).flatMap((one): KeyedPick[] => {
    if (!isRecord(one)) return [];
    const { key, section, chord, frets, fingers } = one;
    const texts = [key, section, chord, frets, fingers];
    if (!texts.every((text) => typeof text === 'string' && text.length < 64)) return [];
    return [{ key, section, chord, frets, fingers } as KeyedPick];
  });
}
