import { chordLabel, numberLabel } from '../../chart/label.js';
import { type Finger, fretsText } from '../../hand/fingering.js';
import type { Instrument } from '../../hand/instrument.js';
import type { PlannedChange } from '../../hand/plan.js';
import { plainGlance, prompt } from '../../hand/prompt.js';
import { type Line, piece } from './line.js';
import { type FretWindow, fretGrid, fretWindows, neckLines } from './neck.js';

/** What the hand pane shows. */
export interface HandView {
  readonly instrument: Instrument;
  readonly now: PlannedChange | null;
  readonly next: PlannedChange | null;
  /** Felt beats until the next change; `null` when there is none. */
  readonly beatsLeft: number | null;
  /** Whether the music runs: then the prompt is a glance, otherwise a sentence. */
  readonly running: boolean;
  readonly unicode: boolean;
}

/** The shape that is held. Always as many lines: a head, the courses, the frets. */
export function nowLines(view: HandView, width: number): Line[] {
  return shapeLines('now', view.now, view, new Set(), windows(view, width)[0], fretGrid(width).fretWidth);
}

/** The shape that comes, its moving fingers marked. As many lines as `nowLines`. */
export function nextLines(view: HandView, width: number): Line[] {
  const motion = view.next?.motion;
  const moving = new Set<Finger>([
    ...(motion?.moves ?? []).map((move) => move.finger),
    ...(motion?.lands ?? []).map((land) => land.finger),
  ]);
  return shapeLines('next', view.next, view, moving, windows(view, width)[1], fretGrid(width).fretWidth);
}

/** How the hand gets there: beats left and a glance while playing; when it stands, the sentence, broken into lines. */
export function promptLines(view: HandView, width: number): Line[] {
  if (!view.next?.motion) return [[piece('', 'plain')]];
  const said = prompt(view.next.motion);
  const glance = view.unicode ? said.glance : plainGlance(said.glance);
  const left = view.beatsLeft === null ? '' : `in ${view.beatsLeft}`;
  const head: Line = [piece(left.padEnd(6), 'count'), piece(glance, 'move')];
  if (view.running) return [head];
  return [head, ...wrapWords(said.sentence, width).map((text): Line => [piece(text)])];
}

function windows(view: HandView, width: number) {
  return fretWindows(view.now?.fingering ?? null, view.next?.fingering ?? null, fretGrid(width).frets);
}

function shapeLines(
  label: string,
  change: PlannedChange | null,
  view: HandView,
  moving: ReadonlySet<Finger>,
  window: FretWindow,
  fretWidth: number,
): Line[] {
  const height = view.instrument.courses.length + 2;
  const head: Line = change
    ? [
        piece(label.padEnd(6), 'dim'),
        piece(numberLabel(change.number, view.unicode).padEnd(5), 'number'),
        piece(chordLabel(change.chord, view.unicode).padEnd(6), 'chord'),
        piece(change.fingering ? fretsText(change.fingering.frets) : ''),
      ]
    : [piece(label, 'dim')];
  if (!change?.fingering) {
    const why = change ? 'no closed shape is known for it' : '';
    return [head, [piece(why, 'dim')], ...Array.from({ length: height - 2 }, (): Line => [])];
  }
  const neck = neckLines({
    instrument: view.instrument,
    fingering: change.fingering,
    window,
    fretWidth,
    moving,
    unicode: view.unicode,
  });
  const remark = change.fingering.remark;
  return [remark === '' ? head : [...head, piece(` ${remark}`, 'dim')], ...neck];
}

/** Breaks a sentence at spaces into lines of at most `width`. */
export function wrapWords(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return line === '' ? lines : [...lines, line];
}
