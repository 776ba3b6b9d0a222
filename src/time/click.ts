import type { ClickKind } from './click-kinds.js';
import type { NoteEvent } from './event.js';
import type { ScoreBar } from './score.js';
import { type Sound, usualSound } from './sound.js';
import { type Ticks, ticks, ticksPerQuarter } from './units.js';

export { type ClickKind, clickKinds } from './click-kinds.js';

/** Bars with a click and then bars without one, by turns: to test one's own time. */
export interface Gaps {
  readonly heard: number;
  readonly silent: number;
}

/** What the click does. */
export interface Click {
  readonly kind: ClickKind;
  /** Whether the first beat is accented. */
  readonly accents: boolean;
  readonly gaps: Gaps | null;
  /** Clicks that hold from a bar of the pass on, in the order of their bars; before the first of them, and without any, the one above. */
  readonly stages?: readonly ClickStage[];
}

/** The click from a bar of the pass on, from 0. Its gaps are counted from there. */
export interface ClickStage {
  readonly from: number;
  readonly kind: ClickKind;
  readonly gaps: Gaps | null;
}

/** The click that holds unless told otherwise. */
export const usualClick: Click = { kind: 'every', accents: true, gaps: null };

/** Whether a bar clicks, by how many bars were played before it. */
export function clicksIn(click: Click, barsBefore: number): boolean {
  if (click.kind === 'off') return false;
  if (!click.gaps) return true;
  const { heard, silent } = click.gaps;
  return barsBefore % (heard + silent) < heard;
}

/**
 * The click of a bar of the pass, as it holds there: `null` for a bar without any. `bar` counts the pass from 0, `before` the
 * bars that were played since the beginning. A stage goes by its place in the pass alone, so that going to it, or looping
 * it, starts it from its beginning.
 */
export function clickAt(click: Click, bar: number, before: number): Click | null {
  const stage = click.stages?.findLast(({ from }) => from <= bar);
  if (!stage) return clicksIn(click, before) ? click : null;
  const { kind, gaps, from } = stage;
  const here: Click = { kind: click.kind === 'off' ? 'off' : kind, accents: click.accents, gaps };
  return clicksIn(here, bar - from) ? here : null;
}

/** The click of one bar, by its kind. */
export function clickNotes(bar: ScoreBar, click: Click = usualClick, sound: Sound = usualSound): NoteEvent[] {
  const { stops } = bar;
  if (!stops) return allClicks(bar, click, sound);
  // A held chord has a click where it is struck and none after it: time waits.
  return allClicks(bar, click, sound).filter(
    ({ at }) => !stops.some(({ from, to }) => at > bar.start + from && at < bar.start + to),
  );
}

/** The beat that is counted in after a stop of the band, before the next bar; none for a bar that does not stop. */
export function cueNotes(bar: ScoreBar, sound: Sound = usualSound): NoteEvent[] {
  const stop = bar.stops?.findLast(({ kind }) => kind === 'band');
  return stop
    ? clickNotes(
        { ...bar, start: ticks(bar.start + stop.to), beats: [ticks(0)], stops: [] },
        { ...usualClick, accents: false },
        sound,
      )
    : [];
}

function allClicks(bar: ScoreBar, click: Click, sound: Sound): NoteEvent[] {
  const note = (at: Ticks, loudness: number, pitch = sound.beat): NoteEvent => ({
    at: bar.start + at,
    length: ticksPerQuarter / 8,
    voice: 'click',
    channel: sound.channels.click,
    note: pitch,
    velocity: loudness,
  });
  const beat = (at: Ticks): NoteEvent =>
    at === 0 && click.accents ? note(at, sound.accentLoudness, sound.accent) : note(at, sound.beatLoudness);
  switch (click.kind) {
    case 'every':
      return bar.beats.map(beat);
    case 'backbeat':
      return bar.backbeats.map((at) => note(at, sound.beatLoudness));
    case 'first':
      return bar.beats.slice(0, 1).map(beat);
    case 'divided':
      return [...bar.beats.map(beat), ...bar.between.map((at) => note(at, sound.dividedLoudness))].sort(
        (one, other) => one.at - other.at,
      );
    case 'off':
      return [];
  }
}
