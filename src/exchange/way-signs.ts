import type { FormWay, WayMark } from '../chart/chart.js';
import type { SheetBar } from './lead-sheet.js';

/** A sign by which one finds the way through a sheet: a mark, the coda's beginning, or where one goes back. */
export type WaySign =
  | { readonly kind: 'mark'; readonly mark: WayMark }
  | { readonly kind: 'coda' }
  | { readonly kind: 'back'; readonly way: FormWay };

const sign: WaySign = { kind: 'mark', mark: 'sign' };
const toCoda: WaySign = { kind: 'mark', mark: 'to-coda' };
const fine: WaySign = { kind: 'mark', mark: 'fine' };

/** Words above a bar that are such a sign: `D.S. al Coda`, `Da Capo al Fine`, `To Coda`, `Fine`; `null` for all others. */
export function waySignOfWords(text: string): WaySign | null {
  const words = text
    .replace(/\u{1d10b}/gu, 'segno')
    .replace(/\u{1d10c}/gu, 'coda')
    .replace(/\s+/g, ' ')
    .trim();
  if (/^segno$/i.test(words)) return sign;
  if (/^coda$/i.test(words)) return { kind: 'coda' };
  if (/^(?:to|da|al) ?coda(?: coda)?$/i.test(words)) return toCoda;
  if (/^fine\.?$/i.test(words)) return fine;
  const [, back, to] =
    /^(d\. ?s\.?|ds|dal segno|d\. ?c\.?|dc|da ?capo)(?: (?:al|to) ?(?:the )?(coda|fine))?\.?$/i.exec(words) ??
    [];
  if (back === undefined) return null;
  return {
    kind: 'back',
    way: {
      from: /s/i.test(back) ? 'sign' : 'top',
      to: to === undefined ? null : (to.toLowerCase() as 'coda' | 'fine'),
    },
  };
}

/** The decoration of ABC (2.1, 4.14, and those of later drafts) that is such a sign, without its exclamation marks. */
export function waySignOfDecoration(name: string): WaySign | null {
  if (name === 'segno') return sign;
  if (name === 'coda') return { kind: 'coda' };
  if (name === 'dacoda') return toCoda;
  if (name === 'fine') return fine;
  if (name === 'dacapo') return { kind: 'back', way: { from: 'top', to: null } };
  const [, from, to] = /^D\.([SC])\.(?:al(coda|fine))?$/.exec(name) ?? [];
  if (from === undefined) return null;
  return {
    kind: 'back',
    way: { from: from === 'S' ? 'sign' : 'top', to: (to as 'coda' | 'fine' | undefined) ?? null },
  };
}

/** A bar with one sign more. Said twice it is one; where only one of both says how far, that is taken. */
export function withSign(bar: SheetBar, found: WaySign): SheetBar {
  if (found.kind === 'coda') return { ...bar, coda: true };
  if (found.kind === 'back')
    return { ...bar, back: { ...found.way, to: found.way.to ?? bar.back?.to ?? null } };
  const marks = bar.marks ?? [];
  return marks.includes(found.mark) ? bar : { ...bar, marks: [...marks, found.mark] };
}

/** Where one goes back, in the words that are usual: `D.S. al Coda`. */
export function backWords({ from, to }: FormWay): string {
  const back = from === 'sign' ? 'D.S.' : 'D.C.';
  return to === null ? back : `${back} al ${to === 'coda' ? 'Coda' : 'Fine'}`;
}

/** The marks that a form word goes by. */
export function marksOf({ from, to }: FormWay): readonly WayMark[] {
  return [
    ...(from === 'sign' ? (['sign'] as const) : []),
    ...(to === 'coda' ? (['to-coda'] as const) : to === 'fine' ? (['fine'] as const) : []),
  ];
}
