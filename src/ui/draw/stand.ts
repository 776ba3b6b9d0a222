import { barsToMyTurn, type PassView, passView, rangeShown } from '../../playback/pass-view.js';
import type { Performance } from '../../playback/performance.js';
import { placeOf } from '../keys/place.js';
import { hintNow } from '../state/hints.js';
import type { Model } from '../state/model.js';
import { lookedAt, overlayOf, type StandView, standView } from '../state/select.js';
import { breakNow, farBreak, isCalling, standBandLine, withBand, withCalledWord } from './band/stand-band.js';
import { asItLeads, asItPlays, footLine, hintLine } from './foot.js';
import { sentenceLines } from './hand-pane.js';
import { headLine } from './head.js';
import { heardLines } from './heard.js';
import { formParts } from './layout.js';
import { fillLines, type Line, lineWidth, piece } from './line.js';
import { earSays, faultLines, noticeLine, noticeStyle } from './notice.js';
import { bodyLines } from './stand-body.js';
import { standFar } from './stand-far.js';
import { handView } from './stand-views.js';
import { formStrip } from './strip.js';

/** The least size the stand can be drawn in. */
export const leastSize = { columns: 60, rows: 18 } as const;
/** From this many lines on one is left empty below the head, or is the band's. */
const airyRows = 22;
/** The share of the far view that a caller's word takes, at its foot. */
const wordShare = 0.4;
/** Lines of the body that hold no more than chart, shapes and one line of prompt. */
const leastRoom = 13;
/** Lines of the body that stay as they are whatever is shown over its last ones: those of the bar at hand. */
const leastBody = 9;

/**
 * The whole stand: exactly `rows - 1` lines (a frame as tall as the terminal would make it scroll) of at
 * most `columns` columns.
 */
export function standLines(model: Model): Line[] {
  const { columns, rows } = model.size;
  const height = rows - 1;
  const there = standView(model);
  if (!there) return fillLines([], columns, height);
  const shown = asLookedAt(model, there);
  const { performance, stand } = there;
  const view = passView(performance);
  const { unicode } = model.look;
  const faults = view && stand.sight.far ? [] : faultLines(model, columns);
  const typed = faults.length > 0 ? overlayOf(model, 'line') : null;
  const telling = typed ? { ...model, overlay: { ...typed, fault: '' } } : model;
  const ear = earSays(telling, columns);
  const turn = view && !model.band ? turnOf(performance, view) : null;
  const said = noticeLine(
    { ...telling, notice: ear.last, wrong: noticeStyle(model) === 'warn' ? ear.last : '' },
    turn,
    columns,
  );
  const isFar = view !== null && stand.sight.far;
  // From far away it is shown in letters that can be read there.
  const whose = view && !isFar ? breakNow(model.band, there, view) : [];
  const ofBand = view ? standBandLine(model, there, view, columns, whose) : [];
  // Where there is a line to spare it is the band's; else that is above the keys while nothing else is.
  const isAiry = rows >= airyRows && !isFar;
  const notice = isAiry || !view ? said : withBand(said, ofBand, whose);
  // The keys of what is drawn here, though a line may be typed in front of it.
  const place = placeOf({ mode: model.mode, overlay: null });
  const hint = hintNow(model);
  const bindings = asItLeads(asItPlays(model), model);
  const keys = overlayOf(model, 'line')
    ? typingKeys
    : ((hint && hintLine({ ...model, bindings }, hint, place)) ??
      footLine(bindings, columns, unicode, place));
  if (view && isFar) {
    const above = farBreak(model, there, view);
    const hand = handView(model, shown, view);
    const far = standFar(model, shown, view, hand, notice, height - above.length);
    const all = fillLines([...above, ...far], columns, height);
    return withCalledWord(model, all, Math.floor(height * wordShare));
  }
  const head = [headLine(model, there, columns), view ? stripLine(view, shown, columns, unicode) : []];
  // Where lines are few, none is left empty.
  const air: Line[] = rows >= airyRows ? [ofBand] : [];
  const room = height - head.length - 2 - air.length;
  const body = view
    ? bodyLines(model, shown, view, columns, room)
    : [[piece('  the hand is being planned', 'dim')]];
  // On the smallest screens the sentence has no line of its own: it takes the notice's while that is empty.
  const remark = notice.length === 0 && view && room <= leastRoom ? sentenceLine(model, shown, view) : notice;
  // What is wrong with a typed line is read to its end: where that takes lines, they are the body's last.
  // So are what was heard of a pass, while the music rests, below the bar at hand.
  const last =
    faults.length > 0
      ? faults
      : [...heardLines(model, columns, room - leastBody - ear.above.length), ...ear.above];
  const shownBody = [...fillLines(body, columns, Math.max(0, room - last.length)), ...last];
  const all = fillLines([...head, ...air, ...shownBody.slice(0, room), remark, keys], columns, height);
  // A word may be over the line of the band: then that is worth more than the title.
  const kept = isCalling(model) && !isAiry ? [...fillLines([ofBand], columns, 1), ...all.slice(1)] : all;
  return withCalledWord(model, kept);
}

/** The last line while something is typed. */
const typingKeys: Line = [
  piece(' Enter', 'key'),
  piece(' done   ', 'dim'),
  piece('Esc', 'key'),
  piece(' back', 'dim'),
];

/** The stand at the bar that a follower looks at, though the music is elsewhere. */
function asLookedAt({ mode }: Model, shown: StandView): StandView {
  const bar = lookedAt(mode);
  if (bar === null) return shown;
  const { cursor } = shown.performance;
  const there = { bar, beat: null, pass: cursor.pass, counting: false };
  return { ...shown, performance: { ...shown.performance, cursor: there } };
}

function sentenceLine(model: Model, shown: StandView, view: PassView): Line {
  return [piece(' '), ...sentenceLines(handView(model, shown, view), Number.POSITIVE_INFINITY).flat()];
}

function turnOf(performance: Performance, view: PassView): number | null {
  return barsToMyTurn(view, performance.cursor.bar, rangeShown(performance));
}

function stripLine(
  view: PassView,
  { mode, performance }: StandView,
  columns: number,
  unicode: boolean,
): Line {
  if (mode.kind === 'transcribe') return [];
  const { bar } = performance.cursor;
  const range = rangeShown(performance) ?? { from: 0, to: view.bars.length };
  const place = `${bar + 1} of ${view.bars.length}`;
  const width = columns - 3 - 2 * String(view.bars.length).length - 4;
  const strip = formStrip({ parts: formParts(view.bars), bar, range, unicode }, width);
  const gap = columns - 2 - lineWidth(strip) - place.length;
  return [piece(' '), ...strip, piece(' '.repeat(Math.max(1, gap))), piece(place, 'dim')];
}
