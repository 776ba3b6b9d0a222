import type { PlayedBar } from '../../../chart/chart.js';
import { fillLines, fitLine, type Line, lineWidth, piece, type Style } from '../line.js';
import type { Player } from './break-pieces.js';
import type { PassPlace } from './chords-ahead.js';
import { type FormMoment, formMoment, nextPartText } from './form-moment.js';
import { largeWords } from './large-words.js';
import { isSung, singsFor, sungMoment } from './sung.js';

/** What a singer's words are drawn from. */
export interface SingerView {
  readonly bars: readonly PlayedBar[];
  readonly place: PassPlace;
  readonly player: Player;
  readonly unicode: boolean;
}

/** What fills the two places of words: large now, and what comes. */
interface Told {
  readonly now: string;
  readonly nowStyle: Style;
  readonly next: string;
}

/**
 * The words of a singer on exactly `room` lines: where the song is and what is cued; the line that is sung, as large as can be; the next
 * one. Where nothing is sung, in how many bars it is; where the chart has no words at all, the parts of the form.
 */
export function singerLines(view: SingerView, columns: number, room: number): Line[] {
  const { bars, place, player, unicode } = view;
  const form = formMoment(bars, place);
  const told = isSung(bars, singsFor(player)) ? sungText(view, form) : formText(form);
  const free = room - 1;
  const nowLines = Math.ceil(free * 0.62);
  const inside = columns - 2;
  // Where there is room, the two are kept apart.
  const gap: Line[] = free >= 14 ? [[]] : [];
  const large = { columns: inside, lines: nowLines - gap.length, unicode, style: told.nowStyle, most: 4 };
  const now = [...largeWords(told.now, large), ...gap];
  const next = largeWords(told.next, {
    columns: inside,
    lines: free - nowLines,
    unicode,
    style: 'plain',
    most: 1,
  });
  return fillLines(
    [statusLine(form, columns), ...[...now, ...next].map((line): Line => [piece(' '), ...line])],
    columns,
    room,
  );
}

function sungText({ bars, place, player }: SingerView, form: FormMoment | null): Told {
  const { now, next } = sungMoment(bars, place, singsFor(player));
  const coming = next?.words ?? '';
  if (now !== null) return { now, nowStyle: 'title', next: coming };
  const part = form?.part ?? '';
  if (!next) return { now: part, nowStyle: 'plain', next: 'no more words' };
  return { now: `sing in ${next.bars}`, nowStyle: 'count', next: coming };
}

function formText(form: FormMoment | null): Told {
  const next = form?.next ? `then ${form.next.text} in ${form.next.bars}` : '';
  return { now: form?.part ?? '', nowStyle: 'title', next };
}

/** The part, where the music is in it, what comes, and at the right what is cued. */
function statusLine(form: FormMoment | null, columns: number): Line {
  if (!form) return [];
  const { part, bar, of, next, cue } = form;
  const then = next ? `, ${nextPartText(next)}` : '';
  const left: Line = [piece(' '), piece(part, 'title'), piece(`  bar ${bar} of ${of}${then}`, 'dim')];
  if (!cue) return left;
  const right: Line = [piece(cue.text, 'cue'), piece(cue.bars === 0 ? ' ' : ` in ${cue.bars} `, 'count')];
  const gap = columns - lineWidth(left) - lineWidth(right);
  return gap >= 2
    ? [...left, piece(' '.repeat(gap)), ...right]
    : [...fitLine(left, Math.max(0, columns - lineWidth(right) - 2)), piece('  '), ...right];
}
