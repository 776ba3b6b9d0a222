import { jsonText } from '../base/json.js';
import { safeText } from '../base/safe-text.js';
import { type Fingering, fretsText, soundingNotes } from '../hand/fingering.js';
import type { Instrument } from '../hand/instrument.js';
import { type NeckSight, neckSight } from '../hand/neck-sight.js';
import { type RankedShape, rankedShapes } from '../hand/shapes.js';
import { parseChord } from '../theory/chord.js';
import { shapeSheet } from '../ui/draw/shape-sheet.js';
import { exit, print, printDocument, Stop } from './exit.js';
import { instrumentFlag } from './instrument-flag.js';
import { planOptions } from './plan-flags.js';
import { settingsOf } from './settings.js';

/** The options of `shapes`, as commander gives them. */
export interface ShapesFlags {
  readonly instrument?: string;
  readonly all?: boolean;
  readonly open?: boolean;
  readonly rootless?: boolean;
  readonly explain?: boolean;
  readonly json?: boolean;
  readonly unicode?: boolean;
  readonly hand?: string;
}

/** Shapes shown of a chord unless all are asked for. */
const shownFirst = 6;

/** Other fingers are named beside the first where they take at most so much more, ms: about what a lift costs twice. */
const almostAsGood = 8;

/** Prints the shapes of chords: the stock ones, then the others with the least effort. */
export function shapes(chords: readonly string[], flags: ShapesFlags): number {
  const instrument = instrumentFlag(flags.instrument);
  const settings = settingsOf();
  const set = planOptions(flags.hand === undefined ? {} : { hand: flags.hand }, settings);
  const sight = neckSight(settings.neck, set.hand);
  const documents = chords.map((text) => {
    const chord = parseChord(text);
    if (!chord.ok) throw new Stop(exit.call, chord.fault.message, 'write chords in letters: A F#m Bb7');
    const ranked = rankedShapes(chord.value, instrument, {
      open: flags.open ?? false,
      rootless: flags.rootless ?? false,
      hand: set.hand,
      known: set.shapes,
    });
    const ordered = flags.all
      ? ranked
      : [
          ...ranked.filter((one) => one.plain),
          ...ranked.filter((one) => one.stock && !one.plain),
          ...ranked.filter((one) => !one.stock),
        ].slice(0, shownFirst);
    return { chord: text, ordered, count: ranked.length };
  });
  if (flags.json) printDocument(shapesJson(documents, instrument));
  else
    for (const { chord, ordered, count } of documents)
      print(...shapesText({ chord, ordered, count }, instrument, flags, sight));
  return exit.done;
}

interface Found {
  readonly chord: string;
  readonly ordered: readonly RankedShape[];
  readonly count: number;
}

function shapesJson(documents: readonly Found[], instrument: Instrument): string {
  const made = documents.map(({ chord, ordered }) => ({
    chord,
    instrument: instrument.id,
    shapes: ordered.map(({ fingering, effort, parts, alternatives, stock }) => ({
      frets: fingering.frets,
      fingers: fingering.fingers,
      notes: soundingNotes(instrument, fingering.frets),
      effort,
      parts,
      alternatives,
      stock,
      remark: fingering.remark,
    })),
  }));
  // One chord, one document; several, a list of them.
  return jsonText(made.length === 1 ? made[0] : made, 2);
}

/** Fingers as letters, bass side first, a dot where none stands: `R I M .`. */
function fingerLetters(fingers: Fingering['fingers']): string {
  return fingers.map((finger) => (finger === null ? '.' : 'IMRL'[finger - 1])).join(' ');
}

function shapesText(
  { chord, ordered, count }: Found,
  instrument: Instrument,
  flags: ShapesFlags,
  sight: NeckSight,
): readonly string[] {
  const unicode = flags.unicode !== false;
  // The whole enumeration is a list to look things up in; a few shapes are drawn.
  const drawn = flags.all ? [] : ordered;
  const sheet = shapeSheet(
    drawn.map(({ fingering }) => ({ label: fretsText(fingering.frets), fingering })),
    instrument,
    { unicode, sight },
  );
  const lines = ordered.map(({ fingering, effort, parts, alternatives, stock }) => {
    const fingers = fingerLetters(fingering.fingers);
    const second = alternatives[0];
    const or =
      second && second.effort - effort <= almostAsGood ? `  or ${fingerLetters(second.fingers)}` : '';
    const why =
      flags.explain && parts.length > 0
        ? `  (${parts.map(({ name, ms }) => `${name} ${ms}`).join(', ')})`
        : '';
    return `  ${fretsText(fingering.frets).padEnd(13)} ${fingers}   effort ${String(effort).padStart(3)}${stock ? '  stock' : ''}${or}${fingering.remark === '' ? '' : `  ${fingering.remark}`}${why}`;
  });
  const more = count > ordered.length ? [`  ${count - ordered.length} more with --all`] : [];
  return [
    safeText(chord),
    ...(lines.length > 0 ? lines : ['  no closed shape that this hand can hold']),
    ...more,
    ...(sheet.length > 0 ? ['', ...sheet.map((line) => `  ${line}`.trimEnd())] : []),
  ];
}
