import { safeText } from '../../../base/safe-text.js';
import { wrapText } from '../../../base/wrap-text.js';
import type { BandView } from '../../state/band.js';
import type { Model } from '../../state/model.js';
import { overlayOf } from '../../state/select.js';
import { footLine } from '../foot.js';
import { fillLines, fitText, type Line, lineWidth, piece } from '../line.js';
import { noticeStyle, typedLine } from '../notice.js';
import { leadText } from './band-line.js';
import { leadOf } from './band-of.js';
import { noteLines } from './note-lines.js';
import { setLines } from './set-lines.js';

/** The most lines of a notice. */
const mostNotice = 5;

/** A follower's screen before any song has come: who leads, what will be played, notes. */
export function waitingLines(model: Model): Line[] {
  const { size, look, bindings, band: view } = model;
  const { columns, rows } = size;
  const height = rows - 1;
  const foot = [...noticeOf(model), footLine(bindings, columns, look.unicode, 'follow')];
  const room = height - foot.length;
  return [
    ...fillLines(view ? bodyLines(model, view, room) : [], columns, room),
    ...fillLines(foot, columns, foot.length),
  ];
}

function bodyLines(
  { size: { columns, rows }, look: { unicode } }: Model,
  view: BandView,
  room: number,
): Line[] {
  const { band, capo } = view;
  const right = leadText({ ...leadOf(view), unicode });
  const title = 'The band';
  const gap = Math.max(2, columns - 2 - title.length - lineWidth([piece(right)]));
  const head: Line = [piece(' '), piece(title, 'title'), piece(' '.repeat(gap)), piece(right, 'count')];
  const air: Line[] = rows >= 22 ? [[]] : [];
  const said = wrapText(stateText(view), columns - 4).map((text): Line => [piece('  '), piece(text)]);
  const trouble = wrapText(safeText(view.trouble), columns - 4).map(
    (text): Line => [piece('  '), piece(text, 'warn')],
  );
  const above = [head, ...air, ...said, ...trouble];
  const notes = noteLines(band.notes, columns, Math.max(2, Math.floor((room - above.length) / 3)));
  const set = band.set && band.set.songs.length > 0 ? band.set : null;
  if (!set) return [...above, [], ...notes];
  const setTitle: Line = [
    piece('  '),
    piece(fitText(safeText(set.title), columns - 20), 'title'),
    piece(`  ${countText(set.songs.length)}`, 'dim'),
  ];
  const behind = notes.length > 0 ? [[], ...notes] : [];
  const left = room - above.length - 2 - behind.length;
  const reader = { part: band.part, capo, unicode };
  return [...above, [], setTitle, ...setLines(set, reader, columns, left), ...behind];
}

function countText(songs: number): string {
  return `${songs} ${songs === 1 ? 'song' : 'songs'}`;
}

/** What is waited for, and as what this stand is there. */
function stateText(view: BandView): string {
  const { leader } = leadOf(view);
  const { name, part, up } = view.band;
  if (view.refused) return 'This stand cannot join the band; Esc leaves.';
  if (view.place === null || (!up && view.band.id === null)) return 'Looking for the band.';
  const own = `You are ${safeText(name)}, ${part}.`;
  if (leader === null) return `${own} Nobody leads yet: the song appears as soon as somebody does.`;
  return `${own} The song appears on this stand as soon as ${safeText(leader)} has one.`;
}

/** The whole message: here is room for it, and what to do is at its end. */
function noticeOf(model: Model): Line[] {
  const { columns } = model.size;
  const typed = overlayOf(model, 'line');
  if (typed) return [typedLine(model, typed, columns)];
  const { notice, band } = model;
  // The trouble of the network stands above already.
  if (notice === '' || notice === band?.trouble) return [[]];
  return wrapText(safeText(notice), columns - 3)
    .slice(0, mostNotice)
    .map((text): Line => [piece(' '), piece(text, noticeStyle(model))]);
}
