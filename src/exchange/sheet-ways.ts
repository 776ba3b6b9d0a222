import type { FormWay, WayMark } from '../chart/chart.js';
import type { Remark, SheetBar } from './lead-sheet.js';
import { backWords, marksOf, withSign } from './way-signs.js';

/** A sheet's bars with the ways through them that a chart can follow, and the bars at which parts begin that are never played. */
export interface SheetWays {
  readonly bars: readonly SheetBar[];
  readonly unplayed: ReadonlySet<number>;
}

/** Signs as they are used: one of each. */
interface Signs {
  sign: number;
  'to-coda': number;
  fine: number;
}

/**
 * Finds out what the signs of a sheet mean. Where it does not say how far one goes, it is as far as the first sign to the
 * coda, or to the end, that comes before one goes back. What cannot be followed is left out, and that is reported; after where
 * one goes back, and with the coda, a section begins.
 */
export function followedWays(bars: readonly SheetBar[], remarks: Remark[]): SheetWays {
  if (!bars.some(({ marks, coda, back }) => marks || coda || back)) return { bars, unplayed: new Set() };
  const all = bars.map((bar) => ({ ...bar }));
  const unplayed = new Set<number>();
  const used = new Map<WayMark, number>();
  const backs = all.flatMap(({ back }, at) => (back ? [at] : []));
  for (const at of backs) {
    const bar = all[at] as SheetBar;
    const followed = bar.back && wayAt(all, at, bar.back);
    if (!bar.back || !followed) continue;
    if (typeof followed === 'string') {
      remarks.push({
        place: bar.place,
        message: `“${backWords(bar.back)}” cannot be followed and is left out: ${followed}`,
      });
      all[at] = without(bar, 'back');
      continue;
    }
    all[at] = { ...bar, back: followed.way };
    for (const mark of marksOf(followed.way)) used.set(mark, followed.signs[mark]);
    begin(all, unplayed, at, followed, remarks);
  }
  return { bars: all.map((bar, at) => onlyUsed(bar, at, used, remarks)), unplayed };
}

interface Followed {
  readonly way: FormWay;
  readonly signs: Signs;
  /** Where the coda begins. */
  readonly coda: number;
}

/** The way back from a bar, or why there is none. */
function wayAt(all: SheetBar[], at: number, back: FormWay): Followed | string {
  const last = (mark: WayMark): number => all.findLastIndex((bar, index) => index <= at && has(bar, mark));
  const sign = back.from === 'sign' ? last('sign') : 0;
  if (sign < 0) return 'there is no sign (segno) before it';
  const first = (holds: (bar: SheetBar) => boolean): number =>
    all.findIndex((bar, index) => index >= sign && index <= at && holds(bar));
  let toCoda = first((bar) => has(bar, 'to-coda'));
  const fine = first((bar) => has(bar, 'fine'));
  if (toCoda < 0 && back.to !== 'fine') {
    // Many sheets have only the sign of the coda, both where to leave and where it begins.
    toCoda = first(({ coda }) => coda === true);
    const leaves = all[toCoda];
    if (leaves) all[toCoda] = withSign(leaves, { kind: 'mark', mark: 'to-coda' });
  }
  const to = back.to ?? (toCoda >= 0 ? 'coda' : fine >= 0 ? 'fine' : null);
  const signs = { sign, 'to-coda': toCoda, fine };
  if (to === 'fine' && fine < 0) return 'there is no “Fine” on its way';
  if (to !== 'coda') return { way: { ...back, to }, signs, coda: -1 };
  if (toCoda < 0) return 'there is no “To Coda” on its way';
  const coda = all.findIndex((bar, index) => index > at && bar.coda);
  if (coda < 0 && at + 1 >= all.length) return 'there is no coda after it';
  return { way: { ...back, to }, signs, coda: coda < 0 ? at + 1 : coda };
}

/** Sections begin after where one goes back, and with the coda; what lies between, or after an end, is never played. */
function begin(
  all: SheetBar[],
  unplayed: Set<number>,
  at: number,
  { way, coda }: Followed,
  remarks: Remark[],
): void {
  const next = all[at + 1];
  if (!next) return;
  if (next.section === null) all[at + 1] = { ...next, section: '' };
  const first = all[coda];
  if (first && !first.section) all[coda] = { ...first, section: 'coda' };
  const until = way.to === 'fine' ? all.length : way.to === 'coda' ? coda : at + 1;
  for (let index = at + 1; index < until; index += 1) unplayed.add(index);
  if (until > at + 1)
    remarks.push({
      place: next.place,
      message: `the bars after “${backWords(way)}” are never played: they are kept in sections that the form does not use`,
    });
}

/** A bar without the signs that nothing uses. */
function onlyUsed(
  bar: SheetBar,
  at: number,
  used: ReadonlyMap<WayMark, number>,
  remarks: Remark[],
): SheetBar {
  if (!bar.marks) return bar;
  const marks = bar.marks.filter((mark) => used.get(mark) === at);
  for (const mark of bar.marks)
    if (used.get(mark) !== at)
      remarks.push({
        place: bar.place,
        message: `left out: ${used.has(mark) ? 'a second' : 'a'} “${names[mark]}” that nothing uses`,
      });
  return marks.length > 0 ? { ...bar, marks } : without(bar, 'marks');
}

const names: Readonly<Record<WayMark, string>> = { sign: 'Segno', 'to-coda': 'To Coda', fine: 'Fine' };

function has({ marks }: SheetBar, mark: WayMark): boolean {
  return marks?.includes(mark) ?? false;
}

function without(bar: SheetBar, name: 'marks' | 'back'): SheetBar {
  const { [name]: _, ...rest } = bar;
  return rest;
}

/** A bar without any sign of the way. */
export function withoutWays({ marks: _, coda: __, back: ___, ...bar }: SheetBar): SheetBar {
  return bar;
}
