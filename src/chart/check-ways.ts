import { quoted } from '../base/safe-text.js';
import type { Chart, FormEntry, Place, WayMark } from './chart.js';
import type { Faults } from './fault.js';
import { wayText } from './write.js';
import { writtenItems } from './written-lines.js';

/** Reports form words in the wrong place: first in a form, after its end, or without a coda. */
export function checkWays(form: readonly FormEntry[], faults: Faults): void {
  form.forEach(({ way, place }, index) => {
    if (!way) return;
    const word = quoted(wayText(way));
    if (index === 0)
      faults.error(
        place,
        `${word} comes first in the form, where nothing has been played yet that could be repeated`,
      );
    const next = form[index + 1];
    if (way.to === 'fine' && next)
      faults.error(next.place, `the song ends with ${word}; remove what comes after it in the form`);
    if (way.to === 'coda' && (!next || next.way))
      faults.warning(
        place,
        `no section follows ${word}; write the coda as a section and put its name after it: ${wayText(way)}, coda`,
      );
  });
}

/** Reports marks that are written twice, and marks that no form word uses. */
export function checkMarks(chart: Chart, faults: Faults): void {
  const first = new Map<WayMark, Place>();
  const ways = chart.form.flatMap(({ way }) => way ?? []);
  for (const section of chart.sections)
    for (const item of writtenItems(section)) {
      if (item.kind !== 'way-mark') continue;
      const { mark, place } = item;
      const before = first.get(mark);
      if (before) {
        faults.error(
          place,
          `a second @${mark}; a chart has only one, and the first is in line ${before.line}, column ${before.column}`,
        );
        continue;
      }
      first.set(mark, place);
      const used = ways.some(({ from, to }) =>
        mark === 'sign' ? from === 'sign' : mark === 'fine' ? to === 'fine' : to === 'coda',
      );
      if (!used)
        faults.warning(
          place,
          `nothing in the form uses this @${mark}; add an entry to the form: ${example[mark]}`,
        );
    }
}

const example: Readonly<Record<WayMark, string>> = {
  sign: 'from sign, or from sign to coda',
  'to-coda': 'from sign to coda, or from top to coda',
  fine: 'from top to fine, or from sign to fine',
};
