import type { FormWay, WayMark } from '../chart/chart.js';
import type { SheetBar } from './lead-sheet.js';

/** A sign for jumps in a sheet: a mark, the beginning of the coda, or a place to go back from. */
export type WaySign =
  | { readonly kind: 'mark'; readonly mark: WayMark }
  | { readonly kind: 'coda' }
  | { readonly kind: 'back'; readonly way: FormWay };

const sign: WaySign = { kind: 'mark', mark: 'sign' };
const toCoda: WaySign = { kind: 'mark', mark: 'to-coda' };
const fine: WaySign = { kind: 'mark', mark: 'fine' };

/** What such words say besides of repeats and of what is known anyway: after D.S. and D.C. no repeat of a chart is taken again. */
const besides =
  /[\s,;]*(?:\(?(?:no|without|senza) (?:rep(?:eats?|etitions?|l?ica|etizione)?|rit(?:ornell[oi]|\.))\.?\)?|(?:\(?e |and )?(?:poi|then) (?:la |the |to (?:the )?)?coda\)?)$/i;

/** Words that ask for the repeats to be taken again. */
const withRepeats = /[\s,;]*\(?(?:con|with|take|w\/) (?:all )?rep(?:eats?|etizione)?\.?\)?$/i;

/** Whether words are about going back. */
function goesBack(text: string): boolean {
  return /^(?:d\. ?[sc](?![a-z0-9])|d[sc](?![a-z0-9])|dal segno|da ?capo)/i.test(text.trim());
}

/** What to report about words for going back, given the sign they were read as; `null` if they say no more than that. */
export function backToldOf(text: string, sign: WaySign | null): string | null {
  if (!goesBack(text)) return null;
  const named = `“${text.trim().slice(0, 60)}”`;
  if (sign === null) return `${named} is not a jump that can be followed and is kept as a cue`;
  return withRepeats.test(text) ? `${named}: repeats are not played again after it` : null;
}

/** Words above a bar that are such a sign: `D.S. al Coda`, `Da Capo al Fine`, `To Coda`, `Fine`; `null` for all others. */
export function waySignOfWords(text: string): WaySign | null {
  const words = text
    .replace(/\u{1d10b}/gu, 'segno')
    .replace(/\u{1d10c}/gu, 'coda')
    .replace(/\s+/g, ' ')
    .trim();
  const plain = goesBack(words)
    ? words.replace(withRepeats, '').replace(besides, '').replace(besides, '')
    : words;
  if (/^segno$/i.test(words)) return sign;
  if (/^coda$/i.test(words)) return { kind: 'coda' };
  if (/^(?:to|da|al) ?coda(?: coda)?$/i.test(words)) return toCoda;
  if (/^fine\.?$/i.test(words)) return fine;
  const [, back, to] =
    /^(d\. ?s\.?|ds|dal segno|d\. ?c\.?|dc|da ?capo)(?: (?:al|to) ?(?:the )?(coda|fine))?\.?$/i.exec(plain) ??
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
