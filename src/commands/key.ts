import { jsonText } from '../base/json.js';
import { chordLabel, numberLabel } from '../chart/label.js';
import { type ChordChange, plainName } from '../hand/changes.js';
import { familyOf, type KeyFamily, numberIn, scaleNumbers, usualNumbers } from '../hand/family.js';
import { familyChange } from '../hand/family-change.js';
import { fingersText, fretsText } from '../hand/fingering.js';
import { plainGlance, widestGlance } from '../hand/glance.js';
import { fittingTempo } from '../hand/hard-changes.js';
import type { Instrument } from '../hand/instrument.js';
import { neckSight } from '../hand/neck-sight.js';
import { type PlanOptions, planHand } from '../hand/plan.js';
import { prompt } from '../hand/prompt.js';
import { chordName } from '../theory/chord.js';
import { type Key, keyName } from '../theory/key.js';
import { shapeSheet } from '../ui/draw/shape-sheet.js';
import { exit, print, printDocument } from './exit.js';
import { instrumentFlag } from './instrument-flag.js';
import { fingerLetters } from './plan.js';
import { keyFlag } from './play-options.js';
import { planOf, settingsOf } from './settings.js';

/** The options of `key`, as commander gives them. */
export interface KeyFlags {
  readonly instrument?: string;
  readonly from?: string;
  readonly json?: boolean;
  readonly unicode?: boolean;
}

/** Prints a key at a glance: its scale by number, its family, its moves, and the shapes of its usual chords. */
export function key(text: string, flags: KeyFlags): number {
  const wanted = keyFlag(text);
  const instrument = instrumentFlag(flags.instrument);
  const settings = settingsOf();
  const hand = planOf(settings);
  const sight = neckSight(settings.neck, settings.hand);
  const family = familyOf(wanted, instrument, hand);
  const before = flags.from === undefined ? null : keyFlag(flags.from);
  const change = before && familyChange(familyOf(before, instrument, hand), family);
  const scale = scaleNumbers[wanted.mode].map((degree) => ({
    degree,
    chord: numberIn(degree, wanted).chord,
  }));
  const ways = family.moves.map(({ from, to, motion }) => ({
    from,
    to,
    said: prompt(motion, sight),
    ms: motion.ms,
    bpm: motion.ms === 0 ? null : fittingTempo(motion),
  }));
  const shapes = usualShapes(wanted, instrument, family, hand);
  if (flags.json) {
    printDocument(
      jsonText(
        {
          key: keyName(wanted),
          instrument: instrument.id,
          family: family.name,
          from: before && { key: keyName(before), family: change },
          scale: scale.map(({ degree, chord }) => ({
            number: degree,
            chord: chordName(chord),
            note: chord.root,
          })),
          moves: ways.map(({ from, to, said, ms, bpm }) => ({
            from,
            to,
            glance: said.glance,
            prompt: said.sentence,
            ms,
            bpm,
          })),
          shapes: shapes.map(({ text: number, change }) => ({
            number,
            chord: chordName(change.chord),
            frets: change.fingering?.frets ?? null,
            fingers: change.fingering?.fingers ?? null,
          })),
        },
        2,
      ),
    );
    return exit.done;
  }
  const unicode = flags.unicode !== false;
  const lines = [
    `key ${keyName(wanted)} on the ${instrument.name}${family.name === null ? '' : `: the ${family.name} family, the shape of its ${family.one.number.quality === 'minor' ? '1-' : '1'}`}`,
    ...(before ? [`from ${keyName(before)}: ${change}`] : []),
    '',
    `  ${scale.map(({ degree }) => degree.padEnd(6)).join('')}`.trimEnd(),
    `  ${scale.map(({ chord }) => chordLabel(chord, unicode).padEnd(6)).join('')}`.trimEnd(),
    '',
    ...ways.map(
      ({ from, to, said, ms, bpm }) =>
        `  ${`${from} to ${to}`.padEnd(9)} ${(unicode ? said.glance : plainGlance(said.glance)).padEnd(widestGlance)} ${said.sentence} (${ms} ms${bpm === null ? '' : `, fits up to ${bpm}`})`,
    ),
    '',
    ...shapes.map(
      ({ change }) =>
        `  ${numberLabel(change.number, unicode).padEnd(5)} ${chordLabel(change.chord, unicode).padEnd(6)} ${change.fingering ? `${fretsText(change.fingering.frets).padEnd(12)} ${fingerLetters(change.fingering.fingers)}` : 'no closed shape is known'}`,
    ),
    '',
    ...shapeSheet(
      shapes.flatMap(({ change }) =>
        change.fingering
          ? [
              {
                label: `${numberLabel(change.number, unicode)} ${chordLabel(change.chord, unicode)}`,
                fingering: change.fingering,
              },
            ]
          : [],
      ),
      instrument,
      { unicode, sight },
    ).map((line) => `  ${line}`.trimEnd()),
  ];
  print(...lines);
  return exit.done;
}

/** The usual chords of a key as one plan: shapes that lie near the 1, as a song would have them. */
function usualShapes(wanted: Key, instrument: Instrument, family: KeyFamily, hand: PlanOptions) {
  const numbers = usualNumbers[wanted.mode];
  const home = numbers[0] as string;
  // The 1 comes between all of them, so that each is chosen for its move from and to the 1.
  const order = numbers.flatMap((text) => (text === home ? [home] : [text, home]));
  const planned = planHand(
    order.map(
      (text, bar): ChordChange => ({ bar, beat: 0, section: '', key: wanted, ...numberIn(text, wanted) }),
    ),
    instrument,
    {
      ...hand,
      // The home chords as the moves between them have them.
      picks: family.home.flatMap(({ chord, fingering }) =>
        fingering
          ? {
              section: '',
              chord: plainName(chord),
              frets: fretsText(fingering.frets),
              fingers: fingersText(fingering.fingers),
            }
          : [],
      ),
    },
  );
  return numbers.flatMap((text) => {
    const change = planned.changes[order.indexOf(text)];
    return change ? [{ text, change }] : [];
  });
}
