import { capoFor, sights } from '../../../band/parts.js';
import { safeText } from '../../../base/safe-text.js';
import { meterText } from '../../../chart/chart.js';
import { shortTempo } from '../../../chart/label.js';
import type { Performance } from '../../../playback/performance.js';
import { keyName, withSigns } from '../../../theory/key.js';
import type { BandView } from '../../state/band.js';
import type { Model } from '../../state/model.js';
import { overlayOf } from '../../state/select.js';
import { footLine } from '../foot.js';
import { fillLines, fitText, type Line, lineWidth, piece } from '../line.js';
import { noticeStyle, typedLine } from '../notice.js';
import { largeLines, wordLines } from '../words.js';
import { leadText } from './band-line.js';
import { leadOf, playerOf } from './band-of.js';
import { means, whoText } from './break-pieces.js';
import { capoText } from './capo-bars.js';
import { noteLines } from './note-lines.js';
import { capoIn } from './set-lines.js';
import { withCalledWord } from './stand-band.js';

/** From this many lines on the key is drawn large. */
const largeRows = 22;

/** Whether a follower is between two songs of a set: the next one is on the stand, and nothing of it has been played. */
export function isBetweenSongs({ mode, session, band }: Model): boolean {
  const { performance, link } = session;
  if (mode.kind !== 'follow' || !performance || mode.look !== null || !band?.band.set) return false;
  return (
    band.band.set.songs.length > 0 &&
    link.state !== 'running' &&
    !performance.begun &&
    performance.cursor.bar === 0
  );
}

/** Between two songs of a set: the next one, in the words of one's own part, and what comes after it. */
export function nextSongLines(model: Model): Line[] {
  const { size, look, bindings, band: view } = model;
  const { performance } = model.session;
  const { columns, rows } = size;
  if (!view || !performance) return fillLines([], columns, rows - 1);
  const foot = [thenLine(model, view), noticeOf(model), footLine(bindings, columns, look.unicode, 'follow')];
  const body = [headLine(model, view), [], ...factLines(model, view, performance)];
  const lines = [
    ...fillLines(body, columns, rows - 1 - foot.length),
    ...fillLines(foot, columns, foot.length),
  ];
  return withCalledWord(model, lines);
}

function headLine({ size: { columns }, look: { unicode } }: Model, view: BandView): Line {
  const { set } = view.band;
  const place = !set || set.at === null ? '' : `song ${set.at + 1} of ${set.songs.length}`;
  const right = [leadText({ ...leadOf(view), unicode }), place].filter((one) => one !== '').join('   ');
  const title = fitText(safeText(set?.title ?? ''), Math.max(8, columns - right.length - 5));
  const gap = Math.max(2, columns - 2 - lineWidth([piece(title), piece(right)]));
  return [piece(' '), piece(title, 'title'), piece(' '.repeat(gap)), piece(right, 'dim')];
}

function factLines(model: Model, view: BandView, { setup }: Performance): Line[] {
  const { columns, rows } = model.size;
  const { unicode } = model.look;
  const { band, capo } = view;
  const name = keyName(setup.key);
  const tempo = shortTempo({ ...setup.chart.tempo, bpm: setup.bpm }, unicode);
  const key: Line[] =
    rows >= largeRows
      ? [...largeLines(name, unicode, 'key'), []]
      : [[piece('  key '), piece(unicode ? withSigns(name) : name, 'key')]];
  const behind = sights[band.part].capo
    ? [[piece(`  ${capoText(capoFor(setup.key, capo), setup.key, unicode)}`, 'key')] as Line]
    : [];
  const who = setup.chart.form[0]?.who ?? null;
  const player = playerOf(view);
  const first = who === null ? '' : means(who, player) ? 'you begin' : `${whoText(who, player)} begins`;
  const notes = band.notes.length > 0 ? band.notes : setup.chart.notes === null ? [] : [setup.chart.notes];
  return [
    ...wordLines(safeText(setup.chart.title), columns, 'title').slice(0, 2),
    [],
    ...key,
    ...behind,
    [piece(`  ${tempo}  ${meterText(setup.chart.meter)}`)],
    ...(first === '' ? [] : [[piece(`  ${first}`)] as Line]),
    [],
    ...noteLines(notes, columns, 5),
  ];
}

function thenLine({ size: { columns }, look: { unicode } }: Model, { band, capo }: BandView): Line {
  const { set } = band;
  const next = set && set.at !== null ? set.songs[set.at + 1] : undefined;
  if (!next) return [piece('  then: the end of the set', 'dim')];
  const key = next.key === null ? '' : ` in ${unicode ? withSigns(next.key) : next.key}`;
  const own = capoIn(next.key, { part: band.part, capo, unicode });
  const text = `then: ${safeText(next.title)}${key}${own === '' ? '' : `, ${own}`}`;
  return [piece('  '), piece(fitText(text, columns - 4), 'dim')];
}

function noticeOf(model: Model): Line {
  const typed = overlayOf(model, 'line');
  if (typed) return typedLine(model, typed, model.size.columns);
  const said = model.notice === '' ? (model.band?.trouble ?? '') : model.notice;
  const style = model.notice === '' ? 'warn' : noticeStyle(model);
  return [piece(' '), piece(fitText(safeText(said), model.size.columns - 2), style)];
}
