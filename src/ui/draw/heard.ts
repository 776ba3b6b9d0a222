import { wrapText } from '../../base/wrap-text.js';
import type { Verdict } from '../../listen/verdict.js';

import type { Model } from '../state/model.js';
import { heardShown } from '../state/select.js';
import { type Line, padText, piece } from './line.js';

/** What a pass was, before what is said of it. */
const results: Readonly<Record<Verdict['result'], string>> = {
  clean: 'clean',
  'not clean': 'not clean',
  'not heard': 'heard',
};

/** Columns of the word before what is said. */
const wordRoom = 12;

/** What was heard of the pass before, while the music rests: on as many lines as it wants, at most `most`; none while it plays. */
export function heardLines(model: Model, columns: number, most: number): Line[] {
  const { heard, place } = heardShown(model);
  if (!heard || place !== 'lines') return [];
  const word = results[heard.verdict.result];
  const lines: string[] = [];
  for (const one of heard.says) {
    const said = wrapText(one, columns - wordRoom - 3).map((text, index) =>
      index === 0 ? text : `  ${text}`,
    );
    // Half a sentence may say the contrary; of the worst as much is shown as there is room for.
    if (lines.length > 0 && lines.length + said.length > most) break;
    lines.push(...said);
  }
  return lines
    .slice(0, Math.max(0, most))
    .map(
      (text, index): Line => [piece(padText(index === 0 ? ` ${word}` : '', wordRoom), 'title'), piece(text)],
    );
}

/** The worst of what was heard, in one line, for a while after a pass while the music goes on; empty otherwise. */
export function heardText(model: Model): string {
  const { heard, place } = heardShown(model);
  if (!heard || place !== 'line') return '';
  const [worst = ''] = heard.says;
  return heard.verdict.result === 'clean' ? `clean: ${worst}` : worst;
}
