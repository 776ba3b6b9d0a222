import { safeText } from '../base/safe-text.js';
import { meterText } from '../chart/chart.js';
import { tempoLabel, timeMarks, wayLabel, withMarks } from '../chart/label.js';
import { fretsText } from '../hand/fingering.js';
import { plainGlance } from '../hand/glance.js';
import type { NeckSight } from '../hand/neck-sight.js';
import { prompt } from '../hand/prompt.js';
import { passViewAt } from '../playback/pass-view.js';
import type { Performance } from '../playback/performance.js';
import type { Setup } from '../playback/setup.js';
import { chordName } from '../theory/chord.js';
import { keyName } from '../theory/key.js';
import { numberText } from '../theory/number.js';

/** What is played, as a line: title, key, tempo and meter. */
export function headLine({ chart, key, bpm: exact }: Setup): string {
  const bpm = Math.round(exact * 10) / 10;
  return `${safeText(chart.title)}, key ${keyName(key)}, ${tempoLabel({ ...chart.tempo, bpm })}, ${meterText(chart.meter)}`;
}

/** One bar as a line: pass and bar, section, numbers, chords, frets, and how the hand gets there. */
export function barLine(performance: Performance, pass: number, bar: number, sight: NeckSight): string {
  const view = passViewAt(performance, pass);
  const played = view?.bars[bar];
  if (!view || !played) return '';
  const chords = played.cells.map((cell, index) => {
    if (!cell.number || !cell.chord) return 'no chord';
    const change = view.plan.changes[view.changeAt[bar]?.[index] ?? -1];
    const isNew = change?.bar === bar && Math.abs(change.beat - cell.at) < 1e-9;
    const way = isNew && change.motion ? `, ${plainGlance(prompt(change.motion, sight).glance)}` : '';
    const shape = change?.fingering ? ` ${fretsText(change.fingering.frets)}` : ' no shape';
    return `${withMarks(numberText(cell.number), cell)} ${chordName(cell.chord)}${shape}${way}`;
  });
  const before = view.bars[bar - 1]?.key ?? performance.setup.key;
  const key = keyName(before) === keyName(played.key) ? '' : `, key ${keyName(played.key)}`;
  const level = played.level === null ? '' : ` (${played.level})`;
  const cues = played.cues.map((cue) => `"${safeText(cue)}"`);
  const way = played.way ? `, ${wayLabel(played.way)}` : '';
  return `pass ${pass} bar ${bar + 1} ${safeText(played.section)}${level}${way}${key}: ${[...chords, ...timeMarks(played), ...cues].join('; ')}`;
}
