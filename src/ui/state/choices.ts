import * as v from 'valibot';
import { tempoLimits } from '../../chart/change.js';
import type { KeyedPick, MelodyChoice, Setup } from '../../playback/setup.js';
import { keyName, parseKey } from '../../theory/key.js';
import { type Click, clickKinds } from '../../time/click.js';
import { voices } from '../../time/event.js';
import { type Pattern, patterns } from '../../time/pattern.js';
import { type Mix, mostLevel, usualMix } from '../../time/sound.js';
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
  readonly melody: MelodyChoice;
  readonly range: Setup['range'];
  readonly sight: Pick<Sight, 'layout' | 'names' | 'hand' | 'ahead'> & Partial<Pick<Sight, 'words' | 'tune'>>;
  readonly picks: readonly KeyedPick[];
}

const within = (least: number, most: number) => v.pipe(v.number(), v.minValue(least), v.maxValue(most));
const bar = v.pipe(v.number(), v.integer(), v.minValue(0));
const bars = within(1, 64);
const level = within(0, mostLevel);

const click = v.object({
  kind: v.picklist(clickKinds.map(({ kind }) => kind)),
  accents: v.boolean(),
  gaps: v.nullable(v.object({ heard: bars, silent: bars })),
});
const mix = v.object({
  // Files from before there was a voice for the tune do not mention it.
  on: v.object({
    click: v.boolean(),
    bass: v.boolean(),
    low: v.boolean(),
    chop: v.boolean(),
    lead: v.optional(v.boolean(), usualMix.on.lead),
  }),
  alone: v.nullable(v.picklist(voices)),
  levels: v.object({
    click: level,
    bass: level,
    low: level,
    chop: level,
    lead: v.optional(level, usualMix.levels.lead),
  }),
});
const range = v.pipe(
  v.object({ from: bar, to: bar }),
  v.check(({ from, to }) => from < to),
);
const sight = v.object({
  layout: v.fallback(v.picklist(layoutKinds), usualSight.layout),
  names: v.fallback(v.picklist(chordNameKinds), usualSight.names),
  hand: v.fallback(v.boolean(), usualSight.hand),
  ahead: v.fallback(v.boolean(), usualSight.ahead),
  words: v.fallback(v.optional(v.boolean(), usualSight.words), usualSight.words),
  tune: v.fallback(v.optional(v.boolean(), usualSight.tune), usualSight.tune),
});

/** The most shapes that are kept for a chart, and the longest of their texts. */
const mostPicks = 200;
const pickText = v.pipe(v.string(), v.maxLength(63));
const pick = v.object({
  key: pickText,
  section: pickText,
  chord: pickText,
  frets: pickText,
  fingers: pickText,
});

/** What can be used of choices that were kept; what cannot is `undefined`, or as usual. */
const keptChoices = v.pipe(
  v.unknown(),
  v.check((kept) => !Array.isArray(kept)),
  v.object({
    key: v.fallback(v.optional(v.string()), undefined),
    bpm: v.fallback(v.optional(within(tempoLimits.least, tempoLimits.most)), undefined),
    countIn: v.fallback(v.optional(within(0, 2)), undefined),
    click: v.fallback(v.optional(click), undefined),
    pattern: v.fallback(v.optional(v.nullable(v.string())), undefined),
    mix: v.fallback(v.optional(mix), undefined),
    melody: v.fallback(v.optional(v.picklist(['sound', 'others', 'all'])), undefined),
    range: v.fallback(v.optional(range), undefined),
    sight: v.fallback(sight, usualSight),
    picks: v.fallback(v.pipe(v.array(v.unknown()), v.transform(picksOf)), []),
  }),
);

/** The shapes among what is kept as such. */
function picksOf(kept: unknown[]): KeyedPick[] {
  return kept.slice(0, mostPicks).filter((one): one is KeyedPick => v.is(pick, one));
}

/** How a chart is set up, and what of it is shown. */
export interface Chosen {
  readonly setup: Setup;
  readonly sight: Sight;
}

/** What a player has just changed, and nothing else: what a set or the command line wants is not kept as if chosen. */
export function changedChoices(
  { setup: before, sight: seen }: Chosen,
  { setup: after, sight }: Chosen,
): Partial<Choices> | null {
  const { layout, names, hand, ahead, words, tune } = sight;
  // What is usual need not be kept.
  const unusual = { ...(words ? {} : { words }), ...(tune ? { tune } : {}) };
  const changed: Partial<Choices> = {
    ...(before.key === after.key ? {} : { key: keyName(after.key) }),
    ...(before.bpm === after.bpm ? {} : { bpm: after.bpm }),
    ...(before.countIn === after.countIn ? {} : { countIn: after.countIn }),
    ...(before.click === after.click ? {} : { click: after.click }),
    ...(before.pattern === after.pattern ? {} : { pattern: after.pattern?.name ?? null }),
    ...(before.mix === after.mix ? {} : { mix: after.mix }),
    ...(before.melody === after.melody || !after.melody ? {} : { melody: after.melody }),
    ...(before.range === after.range ? {} : { range: after.range }),
    ...(sameSight(seen, sight) ? {} : { sight: { layout, names, hand, ahead, ...unusual } }),
    ...(before.picks === after.picks ? {} : { picks: after.picks }),
  };
  return Object.keys(changed).length === 0 ? null : changed;
}

function sameSight(one: Sight, other: Sight): boolean {
  return (
    one.layout === other.layout &&
    one.names === other.names &&
    one.hand === other.hand &&
    one.ahead === other.ahead &&
    one.words === other.words &&
    one.tune === other.tune
  );
}

/** The parts of a start that the command line or a set has decided, so that kept choices do not count. */
export type Decided = ReadonlySet<keyof Choices>;

/**
 * A start with what was kept for its chart, as far as that can be used: what is kept comes from a file, and a chart may
 * have become another since.
 */
export function withChoices(start: StandStart, kept: unknown, bars: number, decided: Decided): StandStart {
  const read = v.safeParse(keptChoices, kept);
  if (!read.success) return start;
  const { sight, picks, ...choices } = read.output;
  const free = <Name extends keyof typeof choices>(name: Name): (typeof choices)[Name] | undefined =>
    decided.has(name) ? undefined : choices[name];
  const key = parseKey(free('key') ?? '');
  const pattern = patternNamed(free('pattern'), start.patterns);
  const range = free('range');
  return {
    ...start,
    key: key.ok && key.value.mode === start.key.mode ? key.value : start.key,
    bpm: free('bpm') ?? start.bpm,
    countIn: free('countIn') ?? start.countIn,
    click: free('click') ?? start.click,
    pattern: pattern === undefined ? start.pattern : pattern,
    mix: free('mix') ?? start.mix,
    ...melodyOf(free('melody') ?? start.melody),
    ...(range && range.to <= bars ? { range, from: range.from } : {}),
    sight: { ...usualSight, ...sight },
    picks,
  };
}

function melodyOf(melody: MelodyChoice | undefined): Pick<StandStart, 'melody'> {
  return melody === undefined ? {} : { melody };
}

/** `undefined` where nothing usable is kept, `null` for the chart's own. */
function patternNamed(name: string | null | undefined, own: readonly Pattern[]): Pattern | null | undefined {
  if (name === null) return null;
  return [...own, ...patterns].find((one) => one.name === name);
}
