import { sights } from '../../band/parts.js';
import { safeText } from '../../base/safe-text.js';
import { meterText, type PlayedBar } from '../../chart/chart.js';
import { tempoLabel, wayLabel } from '../../chart/label.js';
import type { Motion } from '../../hand/motion.js';
import type { NeckSight } from '../../hand/neck-sight.js';
import type { PlannedChange } from '../../hand/plan.js';
import { prompt } from '../../hand/prompt.js';
import {
  handMoment,
  type PassView,
  passView,
  passViewAt,
  rangeShown,
  reachedFrom,
} from '../../playback/pass-view.js';
import type { Performance } from '../../playback/performance.js';
import type { BarRange, Setup } from '../../playback/setup.js';
import { keyName } from '../../theory/key.js';
import type { Model } from '../state/model.js';
import { type Sight, sightNow } from '../state/sight.js';
import { bassWords, breakWords, lettersPlayed, type PartTold } from './part-words.js';
import {
  counted,
  spokenChord,
  spokenFrets,
  spokenKey,
  spokenMarks,
  spokenNumber,
  spokenWritten,
} from './spoken.js';

/** What of a chart is told, and how the neck is seen. */
export interface Told {
  readonly sight: Sight;
  readonly neck: NeckSight;
  /** Whose part of a band it is told to; absent where one plays alone. */
  readonly band?: PartTold;
}

/** What is told now: of the hand only where the part's instrument has shapes that are planned. */
function sightOf({ sight, band }: Told): Sight {
  const now = sightNow(sight);
  return { ...now, hand: now.hand && (band === undefined || sights[band.part].shapes) };
}

/** A chart's title; that of bars which stand in no file is the bars themselves. */
export function titleWords({ title }: Pick<Setup['chart'], 'title'>): string {
  return spokenWritten(safeText(title));
}

/** What is on the stand, as a line: title, key, tempo, meter, and the loop if there is one. */
export function headWords({ chart, key, bpm: exact, range }: Setup): string {
  const bpm = Math.round(exact * 10) / 10;
  const loop = range ? `, loop bars ${range.from + 1} to ${range.to}` : '';
  return `${titleWords(chart)}, key ${spokenKey(key)}, ${tempoLabel({ ...chart.tempo, bpm })}, ${meterText(chart.meter)}${loop}`;
}

/** The head of a click without a song: its tempo and meter. */
export function clickWords({ chart, bpm }: Pick<Setup, 'chart' | 'bpm'>): string {
  return `${safeText(chart.title)}, ${tempoLabel({ ...chart.tempo, bpm: Math.round(bpm * 10) / 10 })}, ${meterText(chart.meter)}`;
}

/** The head of what is on the stand, which may be a click without a song. */
export function headIn({ mode }: Pick<Model, 'mode'>, setup: Setup): string {
  return mode.kind === 'click' ? clickWords(setup) : headWords(setup);
}

/** A chord's name as the stand shows it: number and letters, or one of both. */
function nameOf(change: Pick<PlannedChange, 'number' | 'chord'>, { names }: Sight): string {
  if (names === 'numbers') return spokenNumber(change.number);
  if (names === 'chords') return spokenChord(change.chord);
  return `${spokenNumber(change.number)}, ${spokenChord(change.chord)}`;
}

/** A motion in a sentence without a stop in it. */
export function motionWords(way: Motion, neck: NeckSight): string {
  const { sentence } = prompt(way, neck);
  return sentence === 'the same shape; nothing moves' ? 'same shape' : sentence.replaceAll(';', ',');
}

function handOf(change: PlannedChange, { sight, neck }: Told): string {
  if (!sight.hand) return '';
  const shape = change.fingering ? `, frets ${spokenFrets(change.fingering.frets)}` : ', no shape';
  const way = change.motion ? `, ${motionWords(change.motion, neck)}` : '';
  return `${shape}${way}`;
}

/** What is said of a bar in which the tempo falls, or after which the band stops; nothing of most bars. */
function timeWords({ slowing, wait }: Pick<PlayedBar, 'slowing' | 'wait'>): readonly string[] {
  const share = slowing?.at(-1);
  return [
    ...(share === undefined ? [] : [`slowing to ${Math.round(100 * share)} percent`]),
    ...(wait === undefined ? [] : ['then stop']),
  ];
}

/** One bar of a pass in words: section, chords, frets, and how the hand gets there; to a part of a band, what it plays and sings. */
export function barWords(performance: Performance, pass: number, bar: number, told: Told): string {
  const view = passViewAt(performance, pass);
  const played = view?.bars[bar];
  if (!view || !played) return '';
  const { bars } = view;
  const { range } = performance.setup;
  const { band } = told;
  const sight = sightOf(told);
  const plays = lettersPlayed(played, performance.setup.key, band);
  const chords = played.cells.map((cell, index) => {
    if (!cell.number || !cell.chord) return 'no chord';
    const planned = view.plan.changes[view.changeAt[bar]?.[index] ?? -1];
    const loop = index === 0 && range?.from === bar ? range : null;
    const change = planned && loop ? openingLoop(view, loop, pass, planned) : planned;
    const isNew = loop !== null || (change?.bar === bar && Math.abs(change.beat - cell.at) < 1e-9);
    const name = nameOf({ number: cell.number, chord: cell.chord }, sight);
    const hand = change && isNew ? handOf(change, { ...told, sight }) : '';
    return `${name}${spokenMarks(cell)}${plays[index] ?? ''}${hand}`;
  });
  const before = bars[bar - 1]?.key ?? performance.setup.key;
  const key = keyName(before) === keyName(played.key) ? '' : `, key ${spokenKey(played.key)}`;
  const level = played.level === null ? '' : ` (${played.level})`;
  const way = played.way ? `, ${wayLabel(played.way)}` : '';
  const cues = played.cues.map((cue) => `"${safeText(cue)}"`);
  const sung = sight.words ? (played.words ?? []).map((text) => `sung "${safeText(text)}"`) : [];
  const sings = band !== undefined && sights[band.part].words;
  const says = [
    ...(sings ? sung : []),
    ...chords,
    ...bassWords(performance, bars, bar, band),
    ...timeWords(played),
    ...cues,
    ...(sings ? [] : sung),
    ...breakWords(performance, pass, bars, bar, band),
  ];
  return `pass ${pass} bar ${bar + 1}${sectionWord(bars, played, ' ')}${level}${way}${key}: ${says.join('; ')}`;
}

/** A bar's section, after `before`; empty where all bars of the pass are of one. */
export function sectionWord(bars: readonly PlayedBar[], { section }: PlayedBar, before: string): string {
  return bars.some((one) => one.section !== section) ? before + safeText(section) : '';
}

/** The first change of a loop, as it is reached from the loop's end; the first time it is reached from nothing. */
function openingLoop(view: PassView, range: BarRange, pass: number, change: PlannedChange): PlannedChange {
  if (pass === 1) return { ...change, motion: null };
  const last = view.changeAt[range.to - 1]?.at(-1) ?? -1;
  return reachedFrom(view.plan.changes[last] ?? null, change, view.plan);
}

/** Whether a bar has another chord than the one before it, or begins a section. */
export function isNews(performance: Performance, pass: number, bar: number): boolean {
  const view = passViewAt(performance, pass);
  const here = view?.changeAt[bar] ?? [];
  const before = view?.changeAt[bar - 1]?.at(-1);
  const section = view?.bars[bar]?.section;
  return bar === 0 || section !== view?.bars[bar - 1]?.section || here.some((one) => one !== before);
}

/** Where the music is, in words: bar, beat, section, pass, the chord, and what comes with the motion that reaches it. */
export function whereWords(performance: Performance, told: Told): string {
  const view = passView(performance);
  const { cursor, setup } = performance;
  const played = view?.bars[cursor.bar];
  if (!view || !played) return 'the hand is being planned';
  const sight = sightOf(told);
  const beat = cursor.beat ?? 0;
  const { now, next } = handMoment(view, cursor.bar, beat, rangeShown(performance));
  const count = cursor.counting ? 'counting in to ' : '';
  const at = cursor.beat === null || cursor.counting ? '' : `, beat ${Math.floor(beat) + 1}`;
  const passes = setup.passes === null || setup.passes === 1 ? '' : ` of ${setup.passes}`;
  const pass = cursor.pass === 1 && passes === '' ? '' : `, pass ${cursor.pass}${passes}`;
  const waits = cursor.waits ? ', it waits: go lets it on' : '';
  const place = `${count}bar ${cursor.bar + 1} of ${view.bars.length}${at}${sectionWord(view.bars, played, ', ')}${pass}${waits}`;
  const held = now
    ? `: ${nameOf(now, sight)}${now.fingering && sight.hand ? `, frets ${spokenFrets(now.fingering.frets)}` : ''}`
    : '';
  const coming =
    next && sight.ahead
      ? `; in ${counted(next.beats, 'beat')} ${nameOf(next.change, sight)}${handOf(next.change, { ...told, sight })}`
      : '';
  return `${place}${held}${coming}`;
}
