import type { Key } from '../../theory/key.js';
import { type Chart, type Meter, type PlayedBar, placeName, quartersPerBeat } from '../chart.js';
import { samePart } from '../part.js';
import { pitchDegree } from './degrees-text.js';
import { barParts, type PlayedNote, playedTune } from './play-tune.js';
import { partsPerQuarter } from './tune.js';

/**
 * The bars with the cues that the tune gives: where it comes in after a bar of silence or more, and its highest note, once in each
 * part of the form. They come after the cues that are written, in one text a bar, which is its `tuneCue` too.
 *
 * @param home the key that the bars are in
 */
export function withTuneCues(chart: Chart, bars: readonly PlayedBar[], home: Key): readonly PlayedBar[] {
  const notes = playedTune(chart, bars, { home });
  const cues = new Map<number, string[]>();
  const put = ({ bar, text }: BarCue): void => {
    cues.set(bar, [...(cues.get(bar) ?? []), text]);
  };
  entries(chart, notes, bars).forEach(put);
  topNotes(notes, bars).forEach(put);
  return bars.map((bar, index) => {
    const tuneCue = cues.get(index)?.join(', ');
    return tuneCue === undefined ? bar : { ...bar, cues: [...bar.cues, tuneCue], tuneCue };
  });
}

/** The cues of a bar that are written in the chart. */
export function writtenCues({ cues, tuneCue }: Pick<PlayedBar, 'cues' | 'tuneCue'>): readonly string[] {
  return tuneCue === undefined ? cues : cues.slice(0, -1);
}

/** A text over a played bar. */
interface BarCue {
  readonly bar: number;
  readonly text: string;
}

/** Where the tune comes in: over the bar in which it does, or over the one before where it does in its first beat. */
function entries(chart: Chart, notes: readonly PlayedNote[], bars: readonly PlayedBar[]): readonly BarCue[] {
  const starts: number[] = [0];
  for (const bar of bars) starts.push((starts.at(-1) ?? 0) + barParts(bar));
  let silentFrom = Number.NEGATIVE_INFINITY;
  return notes.flatMap((note): BarCue[] => {
    const { at, parts } = note;
    const index = Math.max(0, note.bar);
    const bar = bars[index] as PlayedBar;
    const from = (starts[index] ?? 0) + at;
    const silence = from - silentFrom;
    silentFrom = Math.max(silentFrom, from + parts);
    if (note.tied || from === 0 || silence < barParts(bar)) return [];
    const says = `${leader(chart, note, bars)} in:`;
    if (note.bar < 0) return [{ bar: 0, text: `${says} ${count(barParts(bar) + at, bar.meter)} before` }];
    if (at >= countParts(bar.meter) || index === 0)
      return [{ bar: index, text: `${says} ${count(at, bar.meter)}` }];
    return [{ bar: index - 1, text: `${says} next ${count(at, bar.meter)}` }];
  });
}

/** Who has the tune from a note on: for a pick-up, whoever leads the part that follows. */
function leader(chart: Chart, { bar, note }: PlayedNote, bars: readonly PlayedBar[]): string {
  const next = bars[bar + 1];
  const ahead = next && chart.tune?.find(({ section }) => section === next.section)?.pickup.includes(note);
  const who = (ahead ? next : bars[Math.max(0, bar)])?.who ?? null;
  return who === null ? 'tune' : who === 'me' ? 'you' : who;
}

/** The first bar of each part of the form that reaches the highest note of the pass. */
function topNotes(notes: readonly PlayedNote[], bars: readonly PlayedBar[]): readonly BarCue[] {
  const top = notes.reduce((most, { pitch }) => Math.max(most, pitch), 0);
  let told: PlayedBar | null = null;
  return notes.flatMap(({ bar, pitch, note }): BarCue[] => {
    const index = Math.max(0, bar);
    const here = bars[index] as PlayedBar;
    if (pitch < top || !note.pitch || (told && samePart(told, here))) return [];
    told = here;
    return [{ bar: index, text: `top note: ${pitchDegree(note.pitch)}` }];
  });
}

/** What is counted in a meter, in parts of a quarter: eighths where they are its unit, else felt beats. */
function countParts(meter: Meter): number {
  return Math.round((meter.unit === 8 ? 0.5 : quartersPerBeat(meter)) * partsPerQuarter);
}

/** A place of a bar as it is counted: `3`, `& of 3`; `after 3` for what has no word. */
function count(at: number, meter: Meter): string {
  const each = countParts(meter);
  const number = Math.floor(at / each) + 1;
  const within = at - (number - 1) * each;
  if (within === 0) return String(number);
  const word = { [each / 4]: 'e of', [each / 2]: '& of', [(3 * each) / 4]: 'a of' }[within] ?? 'after';
  return `${word} ${number}`;
}

/** A chart whose bars have only the cues that are written. */
export function withoutTuneCues({ cues: _, ...chart }: Chart): Chart {
  return chart;
}

/** The tune's cues of written bars, by `placeName`: those that a bar has each time it is played. */
export function tuneCuesByPlace(bars: readonly PlayedBar[]): ReadonlyMap<string, string> {
  const found = new Map<string, string | null>();
  for (const { source, tuneCue = null } of bars) {
    const place = placeName(source);
    const before = found.get(place);
    found.set(place, before === undefined || before === tuneCue ? tuneCue : null);
  }
  return new Map([...found].flatMap(([place, cue]) => (cue === null ? [] : [[place, cue] as const])));
}
