import type { BreakSight } from '../../../band/parts.js';
import type { PassView } from '../../../playback/pass-view.js';
import type { Performance } from '../../../playback/performance.js';
import type { BandView } from '../../state/band.js';
import type { Model } from '../../state/model.js';
import { lookedAt, type StandView } from '../../state/select.js';
import { type Line, lineWidth, type Piece, piece } from '../line.js';
import { bandLine } from './band-line.js';
import { leadOf, playerOf } from './band-of.js';
import { breakPieces, breakSight, breakText, type Player } from './break-pieces.js';
import { calledLines, calledWord } from './called-word.js';
import { largeWords } from './large-words.js';
import { passPlace } from './part-view.js';

/** The line of the band on the stand; empty outside of one. `shown` is where the music is, whatever is looked at. */
export function standBandLine(
  model: Model,
  shown: StandView,
  view: PassView,
  columns: number,
  whose: readonly Piece[] = breakNow(model.band, shown, view),
): Line {
  const { band, look, session } = model;
  if (!band) return [];
  const { set } = band.band;
  const { leads } = leadOf(band);
  const here = view.bars[shown.performance.cursor.bar];
  const away = lookedAt(model.mode) !== null && here !== undefined;
  return bandLine(
    {
      ...leadOf(band),
      break: whose,
      trouble: troubleTexts(band, session.link.state === 'running'),
      song: leads || !set || set.at === null ? null : { at: set.at + 1, of: set.songs.length },
      ahead: away ? `bar ${shown.performance.cursor.bar + 1}, ${here.section}` : null,
      unicode: look.unicode,
    },
    columns,
  );
}

/** Who has the break where the music is, as pieces of a line; none outside of a band, or where the form names nobody. */
export function breakNow(
  band: BandView | null,
  { performance }: StandView,
  view: PassView,
): readonly Piece[] {
  if (!band) return [];
  const player = playerOf(band);
  return breakPieces(sightNow(performance, view, player), player);
}

/** Where the music will go elsewhere, such as once more through the section, nothing is counted down: it would not come. */
function sightNow(performance: Performance, view: PassView, player: Player): BreakSight {
  const sight = breakSight(view.bars, passPlace(performance, view), player);
  return performance.jump ? { ...sight, next: null } : sight;
}

/** What to say about the network, long and short; while the music runs in the words for that. */
function troubleTexts({ band, trouble }: BandView, isRunning: boolean): readonly string[] {
  const leads = band.claims?.role !== 'follows';
  if (isRunning && !band.up)
    return leads
      ? ['network lost: the others go on without you', 'network lost']
      : ['network lost: going on in the last known time', 'network lost: going on'];
  if (isRunning && band.alone) return ['no leader: on to the end of this pass'];
  return trouble === '' ? [] : [trouble];
}

/** The line above the keys where the line of the band has none of its own: whose break it is, and what else is to be read. */
export function withBand(notice: Line, line: Line, whose: readonly Piece[]): Line {
  if (lineWidth(notice) === 0) return line;
  return whose.length === 0 ? notice : [piece(' '), ...whose, piece(' '), ...notice];
}

/** Whether a caller's word is to be seen. */
export function isCalling({ band, at, overlay }: Model): boolean {
  return band?.talk != null && band.talk.until > at && !overlay;
}

/** The caller's word, while it should be seen; on this many lines, or fewer. `null` while there is none. */
function wordNow(model: Model, lines?: number): Line[] | null {
  const { band, look, size } = model;
  const talk = band?.talk;
  if (!talk || !isCalling(model)) return null;
  return calledWord(talk, size.columns, lines ?? calledLines(look.unicode), look.unicode);
}

/** A caller's word over the last lines of a screen, away from what is at hand. */
export function withCalledWord(model: Model, lines: Line[], most?: number): Line[] {
  const word = wordNow(model, most);
  return word ? [...lines.slice(0, lines.length - word.length), ...word] : lines;
}

/** From this many lines on there is room for it in block letters. */
const roomyRows = 20;

/** For the far view, whose break it is, on lines of its own: as many whatever is to be said, none where the form names nobody. */
export function farBreak(model: Model, { performance }: StandView, view: PassView): Line[] {
  const { band, look, size } = model;
  if (!band || !view.bars.some(({ who }) => who !== null)) return [];
  const player = playerOf(band);
  const sight = sightNow(performance, view, player);
  const style = sight.mine ? 'here' : sight.next?.mine ? 'count' : 'plain';
  const lines = size.rows >= roomyRows ? calledLines(look.unicode) : 1;
  const room = { columns: size.columns - 2, lines, unicode: look.unicode, style, most: 1 } as const;
  return largeWords(breakText(sight, player), room).map((line): Line => [piece(' '), ...line]);
}
